package sessions

import (
	"bytes"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// randomBatch draws a batch of n inputs of every kind, with faults, bursts,
// equal times, gaps and marks told late.
func randomBatch(rng *rand.Rand, n int) []plateau.Input {
	texts := []string{"", "4 g \"flaky\" salt", "a, b; c", "=1+1", "-3s cream-end", "crème\u00a0très épaisse", "target:235F", " spaces ", "look:dry", "'quoted'", "ack"}
	var out []plateau.Input
	at := time.Duration(0)
	for range n {
		switch rng.IntN(12) {
		case 0: // at the same time as the last one
		case 1:
			at += time.Duration(rng.Int64N(int64(40 * time.Second)))
		default:
			at += time.Duration(rng.Int64N(int64(2 * time.Second)))
		}
		in := plateau.Input{Kind: plateau.Measured, At: at, C: probe.Celsius(rng.Float64()*250 - 20)}
		switch rng.IntN(10) {
		case 0:
			in.C, in.Fault = 0, probe.Fault(rng.IntN(20))
		case 1:
			in.Fault = probe.Fault(rng.IntN(20)) // a value, and doubt about it
		case 2:
			in = plateau.Input{Kind: plateau.Marked, At: at, Mark: plateau.Mark(rng.IntN(20)), Ago: time.Duration(rng.IntN(2)) * time.Duration(rng.Int64N(int64(5*time.Minute)))}
			if in.Mark == plateau.MarkNote || in.Mark == plateau.MarkAdded {
				in.Text = texts[rng.IntN(len(texts))]
			}
		case 3:
			in = []plateau.Input{
				{Kind: plateau.Acknowledged, At: at}, {Kind: plateau.Undone, At: at}, {Kind: plateau.Resumed, At: at},
				{Kind: plateau.Retargeted, At: at, Target: probe.Celsius(100 + 50*rng.Float64())},
			}[rng.IntN(4)]
		}
		out = append(out, Rounded(in))
	}
	return out
}

// A batch goes out as CSV or as JSON Lines and comes back with every reading
// and every mark, bit for bit, as often as it likes. A silence is what the gap
// in the times says, so it is not written.
func TestExportAndImportLoseNothing(t *testing.T) {
	dir := t.TempDir()
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 5))
		s := &Session{Header: testHeader().Stored()}
		for _, in := range randomBatch(rng, 1+rng.IntN(300)) {
			s.take(Record{Kind: InputRecord, At: in.At, Input: in})
			if rng.IntN(9) == 0 {
				r := probe.Reading{At: in.At, C: roundTemp(probe.Celsius(20 + 5*rng.Float64())), Fault: []probe.Fault{probe.FaultNone, probe.FaultNone, probe.FaultOpen}[rng.IntN(3)]}
				s.take(Record{Kind: SideRecord, At: in.At, Text: []string{"room", "=oil, left"}[rng.IntN(2)], Side: r})
			}
		}
		path, err := Save(dir, s)
		if err != nil {
			t.Fatal(err)
		}
		kept := mustRead(t, path)
		sameInputs(t, seed, "the file", kept, s)

		var first, second bytes.Buffer
		if err := WriteCSV(&first, kept); err != nil {
			t.Fatal(err)
		}
		back, err := FromCSV(bytes.NewReader(first.Bytes()))
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, first.String())
		}
		sameInputs(t, seed, "CSV", back, s)
		sameSides(t, seed, back, kept)
		if err := WriteCSV(&second, back); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Fatalf("seed %d: the second CSV differs from the first, %v", seed, err)
		}

		copied, err := Adopt(dir, path)
		if err != nil {
			t.Fatal(err)
		}
		want, _ := os.ReadFile(path)
		if got, err := os.ReadFile(copied); err != nil || !bytes.Equal(got, want) {
			t.Errorf("seed %d: the JSON Lines differ, %v", seed, err)
		}
	}
}

func sameInputs(t *testing.T, seed uint64, way string, got, want *Session) {
	t.Helper()
	quiet := func(in plateau.Input) bool { return in.Kind == plateau.Silent }
	a, b := slices.DeleteFunc(slices.Collect(got.Inputs()), quiet), slices.DeleteFunc(slices.Collect(want.Inputs()), quiet)
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			t.Fatalf("seed %d: by %s input %d came back as %+v, went out as %+v", seed, way, i, a[i], b[i])
		}
	}
	if len(a) != len(b) {
		t.Fatalf("seed %d: by %s %d inputs came back of %d", seed, way, len(a), len(b))
	}
}

func sameSides(t *testing.T, seed uint64, got, want *Session) {
	t.Helper()
	a, b := slices.Collect(got.Sides()), slices.Collect(want.Sides())
	same := func(x, y Record) bool { return x.Side == y.Side && x.Text == y.Text && x.At == y.At }
	if !slices.EqualFunc(a, b, same) {
		t.Fatalf("seed %d: %d readings of other channels came back of %d, or others", seed, len(a), len(b))
	}
}
