package sessions

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// FuzzIndex: whatever the index of a folder says, exactly the files that are
// there are listed, under their own names, with a small curve each.
func FuzzIndex(f *testing.F) {
	batch, err := os.ReadFile("../testdata/batches/v1.jsonl")
	if err != nil {
		f.Fatal(err)
	}
	const name = "2026-01-02T03-04-05Z" + Ext
	seen := time.Date(2026, 1, 2, 4, 0, 0, 0, time.UTC)
	dir := f.TempDir()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, batch, 0o600); err != nil {
		f.Fatal(err)
	}
	if err := os.Chtimes(path, seen, seen); err != nil {
		f.Fatal(err)
	}
	if _, err := List(dir); err != nil {
		f.Fatal(err)
	}
	index := filepath.Join(dir, indexName)
	sound, err := os.ReadFile(index)
	if err != nil {
		f.Fatal(err)
	}
	for _, s := range []string{
		string(sound), "", indexVersion + "\n", indexVersion + "\n{\"name\":\"../../x\"}\n",
		indexVersion + "\n{\"name\":\"" + name + "\",\"end\":-9e18,\"peak\":1e308,\"sparks\":\"\xff\"}\n", indexVersion + "\n[[[[\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		if err := os.WriteFile(index, text, 0o600); err != nil {
			t.Fatal(err)
		}
		all, err := List(dir)
		if err != nil || len(all) != 1 || all[0].Name != name || all[0].Path != path {
			t.Fatalf("%q lists %+v, error %v", text, all, err)
		}
		points, ok := all[0].Curve()
		if len(points) > sparkWidth || len(ok) != len(points) || slices.ContainsFunc(all, func(e Entry) bool { return math.IsNaN(float64(e.Target)) }) {
			t.Errorf("%q has a curve of %d points", text, len(points))
		}
		all[0].Title()
	})
}
