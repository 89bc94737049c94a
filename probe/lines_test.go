package probe

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestLines plays the transcripts in testdata/lines, which are invented in the
// shapes that small boards print, and compares what is read with the .want
// file beside each: a temperature or a fault a line. They are fed in pieces of
// every small size, since a cable cuts where it likes.
func TestLines(t *testing.T) {
	files, err := filepath.Glob("../testdata/lines/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no transcripts: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			stream, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			format, want := readWant(t, strings.TrimSuffix(file, ".txt")+".want")
			for size := 1; size < 20; size++ {
				in := Intake{Format: format}
				in.Begin(0, true)
				var got []Reading
				for rest := stream; len(rest) > 0; rest = rest[min(size, len(rest)):] {
					in.Feed(rest[:min(size, len(rest))], 0, func(e Event) { got = append(got, e.Reading) })
				}
				checkReadings(t, got, want)
				if t.Failed() {
					t.Fatalf("in pieces of %d bytes", size)
				}
			}
		})
	}
}

func readWant(t *testing.T, path string) (f Format, want []string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		if f2, ok := strings.CutPrefix(line, "# format: "); ok {
			if err := json.Unmarshal([]byte(f2), &f); err != nil {
				t.Fatalf("%s: %v", path, err)
			}
		}
		if line != "" && line[0] != '#' {
			want = append(want, line)
		}
	}
	return f, want
}

func checkReadings(t *testing.T, got []Reading, want []string) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%d readings, want %d: %v", len(got), len(want), got)
		return
	}
	for i, w := range want {
		if c, err := strconv.ParseFloat(w, 64); err == nil {
			if got[i].Fault != FaultNone || math.Abs(float64(got[i].C)-c) > 1e-6 {
				t.Errorf("reading %d: %+v, want %v", i, got[i], c)
			}
			continue
		}
		if f, ok := FaultFor(w); !ok || got[i].Fault != f {
			t.Errorf("reading %d: %+v, want %q", i, got[i], w)
		}
	}
}
