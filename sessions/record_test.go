package sessions

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// someInputs is one of each kind of input, oddities among them.
func someInputs() []plateau.Input {
	return []plateau.Input{
		{Kind: plateau.Measured, At: 0, C: 21.5},
		{Kind: plateau.Marked, At: 1200 * time.Millisecond, Mark: plateau.MarkMeltStart},
		{Kind: plateau.Measured, At: 1500 * time.Millisecond, C: -0.004},
		{Kind: plateau.Measured, At: 1750 * time.Millisecond, Fault: probe.FaultOpen},
		{Kind: plateau.Measured, At: 2 * time.Second, C: 85, Fault: probe.FaultPowerOn},
		{Kind: plateau.Silent, At: 7 * time.Second},
		{Kind: plateau.Marked, At: 8 * time.Second, Mark: plateau.MarkAdded, Text: "4 g \"flaky\" salt, <crushed> & sifted"},
		{Kind: plateau.Marked, At: 9 * time.Second, Mark: plateau.MarkCreamEnd, Ago: 2 * time.Minute},
		{Kind: plateau.Undone, At: 10 * time.Second},
		{Kind: plateau.Retargeted, At: 11 * time.Second, Target: 113.333},
		{Kind: plateau.Marked, At: 12 * time.Second, Mark: plateau.MarkLookClumps},
		{Kind: plateau.Marked, At: 13 * time.Second, Mark: plateau.MarkNote, Text: "crème très épaisse"},
		{Kind: plateau.Acknowledged, At: 14 * time.Second},
		{Kind: plateau.Resumed, At: 60 * time.Second},
		{Kind: plateau.Measured, At: 60*time.Second + 250*time.Millisecond, C: 112.778},
	}
}

func TestInputsComeBackAsTheyWereStored(t *testing.T) {
	for _, in := range someInputs() {
		checkRoundTrip(t, in)
	}
	for _, in := range []plateau.Input{
		{Kind: plateau.Measured, C: probe.Celsius(math.NaN())},
		{Kind: plateau.Measured, C: probe.Celsius(math.Inf(-1))},
		{Kind: plateau.Measured, C: 1e300, Fault: probe.FaultGarbled},
		{Kind: plateau.Measured, Fault: 250},
		{Kind: plateau.Measured, At: math.MaxInt64, C: 1},
		{Kind: plateau.Measured, At: -time.Second, C: 1},
		{Kind: plateau.Marked, Mark: 250, Text: "x"},
		{Kind: plateau.Marked, Mark: plateau.MarkNote, Text: " \x1b[2J\xff\u202egnp\n"},
		{Kind: plateau.Retargeted, Target: probe.Celsius(math.NaN())},
	} {
		checkRoundTrip(t, in)
	}
}

func TestRandomReadingsComeBackExactly(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 100_000 {
		at := time.Duration(rng.Int64N(int64(12 * time.Hour)))
		checkRoundTrip(t, plateau.Reading(probe.Reading{At: at, C: probe.Celsius(rng.Float64()*420 - 60)}))
	}
}

func checkRoundTrip(t *testing.T, in plateau.Input) {
	t.Helper()
	want := Rounded(in)
	if again := Rounded(want); again != want {
		t.Errorf("rounding twice differs: %+v, then %+v", want, again)
	}
	line := appendInput(nil, want)
	if !json.Valid(line) {
		t.Errorf("not JSON: %s", line)
	}
	line = line[:len(line)-1]
	body, ok := unseal(line)
	if !ok {
		t.Fatalf("does not unseal: %s", line)
	}
	rec, err := decode(line, body)
	if err != nil || rec.Input != want {
		t.Errorf("%s\ngot  %+v, %v\nwant %+v", line, rec.Input, err, want)
	}
}

// The short way of decoding must agree with encoding/json wherever it answers.
func FuzzDecodeReading(f *testing.F) {
	for _, in := range someInputs() {
		line := appendInput(nil, Rounded(in))
		f.Add(line[:len(line)-1-sealLen])
	}
	f.Add([]byte(`{"k":"reading","t":1.5,"c":99999999999999`))
	f.Add([]byte(`{"k":"reading","t":01.5,"c":-0`))
	f.Fuzz(func(t *testing.T, body []byte) {
		got, ok := decodeReading(body)
		if !ok {
			return
		}
		var w wireRecord
		if err := json.Unmarshal(append(append([]byte{}, body...), '}'), &w); err != nil {
			return // a leading zero, which no recorder writes
		}
		if want, _ := w.input(); got != want {
			t.Errorf("%s: got %+v, want %+v", body, got, want)
		}
	})
}

func TestReadingLineIsTheOneDocumented(t *testing.T) {
	line := appendInput(nil, plateau.Input{Kind: plateau.Measured, At: 12345 * time.Millisecond, C: 104.12})
	const want = `{"k":"reading","t":12.345,"c":104.12,"crc":"5613fe84"}` + "\n" // checksum by a bitwise CRC-32C written apart, in Python
	if string(line) != want {
		t.Errorf("got %s", line)
	}
}
