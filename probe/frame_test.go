package probe

import (
	"slices"
	"strings"
	"testing"
)

func frameAll(chunks ...string) (lines []string, dropped int64) {
	var f Framer
	for _, c := range chunks {
		f.Feed([]byte(c), func(l string) { lines = append(lines, l) })
	}
	return lines, f.Dropped()
}

func TestFramer(t *testing.T) {
	long := strings.Repeat("9", MaxLine)
	for _, row := range []struct {
		name    string
		in      []string
		want    []string
		dropped int64
	}{
		{"LF", []string{"a\nb\n"}, []string{"a", "b"}, 0},
		{"CR LF", []string{"a\r\nb\r\n"}, []string{"a", "b"}, 0},
		{"CR", []string{"a\rb\r"}, []string{"a", "b"}, 0},
		{"CR LF cut between", []string{"a\r", "\nb\r", "\n"}, []string{"a", "b"}, 0},
		{"blank lines", []string{"\n\r\na\n\n\nb\n"}, []string{"a", "b"}, 0},
		{"in pieces", []string{"T", "=99", ".5", "\n"}, []string{"T=99.5"}, 0},
		{"no end yet", []string{"a\n112.4"}, []string{"a"}, 0},
		{"longest", []string{long + "\nb\n"}, []string{long, "b"}, 0},
		{"one too long", []string{long + "9\nb\n"}, []string{"b"}, MaxLine + 1},
		{"far too long", []string{long + long + "12.5\nb\n"}, []string{"b"}, 2*MaxLine + 4},
	} {
		t.Run(row.name, func(t *testing.T) {
			lines, dropped := frameAll(row.in...)
			if !slices.Equal(lines, row.want) {
				t.Errorf("lines %q, want %q", lines, row.want)
			}
			if dropped != row.dropped {
				t.Errorf("dropped %d, want %d", dropped, row.dropped)
			}
		})
	}
}

// Joining a stream in its middle: the tail of 112.4 is a fine 12.4.
func TestFramer_resync(t *testing.T) {
	var f Framer
	var lines []string
	each := func(l string) { lines = append(lines, l) }
	f.Feed([]byte("112.3\n11"), each)
	f.Resync()
	f.Feed([]byte("2.4\r\n112.5\r\n"), each)
	if want := []string{"112.3", "112.5"}; !slices.Equal(lines, want) {
		t.Errorf("lines %q, want %q", lines, want)
	}
	if f.Dropped() != 5 {
		t.Errorf("dropped %d bytes, want 5", f.Dropped())
	}
}

// FuzzFramer holds the framer to two laws: cutting the stream anywhere gives
// the same lines, and no byte is lost from sight.
func FuzzFramer(f *testing.F) {
	for _, s := range []string{"", "112.4\r\n", "a\rb\nc\r\n\n", "T=99.5", "\x00\xff\r\r\n", strings.Repeat("x", MaxLine+9) + "\ny\n"} {
		f.Add([]byte(s), uint(3))
	}
	f.Fuzz(func(t *testing.T, data []byte, cut uint) {
		whole, dropped := frameAll(string(data))
		at := 0
		if len(data) > 0 {
			at = int(cut % uint(len(data)))
		}
		parts, droppedParts := frameAll(string(data[:at]), string(data[at:]))
		if !slices.Equal(whole, parts) || dropped != droppedParts {
			t.Fatalf("cut at %d: %q (%d dropped), whole %q (%d)", at, parts, droppedParts, whole, dropped)
		}
		ends := 0
		for _, b := range data {
			if b == '\r' || b == '\n' {
				ends++
			}
		}
		var fr Framer
		kept := 0
		fr.Feed(data, func(l string) {
			if l == "" || len(l) > MaxLine || strings.ContainsAny(l, "\r\n") {
				t.Fatalf("bad line of %d bytes", len(l))
			}
			kept += len(l)
		})
		if got := kept + ends + fr.Pending() + int(fr.Dropped()); got != len(data) {
			t.Fatalf("%d bytes accounted for, of %d", got, len(data))
		}
	})
}
