package probe

import (
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"
)

// FuzzIntake: whatever a probe prints, in pieces of any size and whichever
// sensor it is said to be, each event is a reading in range or a fault, and its
// words are short and fit for a terminal.
func FuzzIntake(f *testing.F) {
	for _, s := range []string{
		"T=112.4 C\r\nT=112.5 C\r\n", "85.00\n", "4.633\n109.73\n", "\x00\xff\xfe\n", "\x1b]0;owned\x07\n1\n",
		`{"t":` + strings.Repeat("[", 300) + "\n", strings.Repeat("9", 5000), "nan\n-inf\n1e999\n", "112.4", "err\n--.-\n",
	} {
		f.Add([]byte(s), uint8(7), uint8(0), "t")
		f.Add([]byte(s), uint8(0), uint8(1), "")
		f.Add([]byte(s), uint8(255), uint8(2), "")
	}
	f.Fuzz(func(t *testing.T, b []byte, piece, sensor uint8, key string) {
		in := Intake{Format: Format{Key: key, Sensor: Sensor(sensor % 4), Cold: 25}, Name: "a probe", Remedy: "mend it"}
		emit := func(e Event) {
			if e.HasReading && e.Reading.Fault == FaultNone && !(e.Reading.C >= Coldest && e.Reading.C <= Hottest) {
				t.Fatalf("%q is %v without a fault", b, e.Reading.C)
			}
			for _, words := range []string{e.Raw, e.Note} {
				if len(words) > 4*rawMax || !utf8.ValidString(words) || strings.ContainsFunc(words, func(r rune) bool { return !unicode.IsPrint(r) }) {
					t.Fatalf("%q is told as %q", b, words)
				}
			}
		}
		var at time.Duration
		in.Begin(at, piece%2 == 1)
		for rest := b; len(rest) > 0; at += time.Second {
			n := min(1+int(piece), len(rest))
			in.Feed(rest[:n], at, emit)
			in.Tick(at, emit)
			rest = rest[n:]
		}
		in.Tick(at+QuietTime, emit)
	})
}
