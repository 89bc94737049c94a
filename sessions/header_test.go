package sessions

import (
	"math"
	"reflect"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// testHeader is an invented batch of a market stall.
func testHeader() Header {
	return Header{
		Start: time.Date(2026, 10, 3, 7, 45, 12, 0, time.FixedZone("", 2*3600)), Zone: "Europe/Berlin",
		Recipe: "Soft caramels", RecipeText: "name = \"Soft caramels\"\ntarget = \"245F\"\n",
		Probe: "sim", Fold: "test", Unit: probe.UnitF, Demo: true,
		Config: plateau.Config{Target: probe.Fahrenheit(245), Pressure: 98_000, Lag: 3 * time.Second},
	}
}

// fill sets every field of a struct to a distinct value that a file can hold,
// so that a setting added later and forgotten in the file fails the test.
func fill(v reflect.Value, n *int) {
	for i := range v.NumField() {
		f := v.Field(i)
		*n++
		switch {
		case f.Kind() == reflect.Struct && f.Type() != reflect.TypeFor[time.Time]():
			fill(f, n)
		case f.Kind() == reflect.Float64:
			f.SetFloat(float64(*n) + 0.125)
		case f.Kind() == reflect.Int64:
			f.SetInt(int64(*n) * int64(time.Millisecond))
		case f.Kind() == reflect.Bool:
			f.SetBool(true)
		case f.Kind() == reflect.Uint8:
			f.SetUint(1)
		case f.Kind() == reflect.String:
			f.SetString("text")
		}
	}
}

func TestHeaderKeepsEveryField(t *testing.T) {
	h := Header{Start: time.Date(2026, 10, 3, 7, 45, 12, 345e6, time.UTC)}
	n := 0
	fill(reflect.ValueOf(&h).Elem(), &n)
	line, err := h.line()
	if err != nil {
		t.Fatal(err)
	}
	got, sound, err := parseHeader(line[:len(line)-1])
	if err != nil || !sound || got != h {
		t.Errorf("parseHeader(line) = %+v, %v, %v\nwant %+v", got, sound, err, h)
	}
	if stored := h.Stored(); stored != h {
		t.Errorf("Stored() = %+v, want %+v", stored, h)
	}
}

func TestHeaderRefusesWhatIsNotANumber(t *testing.T) {
	h := testHeader()
	h.Config.Pressure = math.NaN()
	if _, err := Create(t.TempDir(), h); err == nil {
		t.Error("Create took a header with a pressure that is not a number")
	}
}

func TestHeaderOfANewerVersionIsRefused(t *testing.T) {
	w := testHeader().wire()
	w.V, w.Program = FormatVersion+1, "9.0"
	line, err := sealed(w)
	if err != nil {
		t.Fatal(err)
	}
	_, _, err = parseHeader(line[:len(line)-1])
	const want = "session format 2 is newer than format 1, which this program reads (written by 9.0): update boildown to open it"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %q", err, want)
	}
}
