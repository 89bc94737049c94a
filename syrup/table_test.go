package syrup_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// row is one line of a table in testdata/physics by its header's names.
type row map[string]string

func table(t testing.TB, name string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "physics", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) < 2 {
		t.Fatalf("%s holds no rows", name)
	}
	var rows []row
	for _, l := range lines[1:] {
		r := row{}
		for i, key := range lines[0] {
			r[key] = l[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func (r row) num(t testing.TB, key string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[key], 64)
	if err != nil {
		t.Fatalf("%s: %v", key, err)
	}
	return v
}

// near fails unless got lies within tol of want.
func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.8g, want %.8g ± %.2g", what, got, want, tol)
	}
}

func fahrenheit(c float64) float64 { return c*1.8 + 32 }
func celsius(f float64) float64    { return (f - 32) / 1.8 }
