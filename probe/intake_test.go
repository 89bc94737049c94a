package probe

import (
	"strings"
	"testing"
	"time"
)

func sec(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

func TestIntake_readings(t *testing.T) {
	var got []Event
	emit := func(e Event) { got = append(got, e) }
	in := Intake{Name: "the cable"}
	in.Begin(0, true)
	in.Feed([]byte("2.3\r\n112.4 C\r\nhel"), sec(1), emit) // the first line is a torn one
	in.Feed([]byte("lo\r\nT=open\r\n\x1b[31m112.5\x1b[0m\n"), sec(2), emit)
	want := []Event{
		{Reading: Reading{At: sec(1), C: 112.4}, HasReading: true, Raw: "112.4 C"},
		{Reading: Reading{At: sec(2), Fault: FaultOpen}, HasReading: true, Raw: "T=open"},
		{Reading: Reading{At: sec(2), C: 112.5}, HasReading: true, Raw: "112.5"},
	}
	if len(got) != len(want) {
		t.Fatalf("%d events, want %d: %+v", len(got), len(want), got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("event %d: %+v, want %+v", i, got[i], want[i])
		}
	}
}

func TestIntake_complaints(t *testing.T) {
	for _, row := range []struct{ name, fed, want string }{
		{"silence", "", "nothing has come from the cable for 5 s"},
		{"garbage", "\x80\x93\xff\x01\x02\xfe\n\xf3\xf2\x80\n", "no readable line: set the speed"},
		{"no line end", "112.4 112.5 112.6", "no readable line: set the speed"},
		{"only talk", "menu:\n1 for help\n", `such as "1 for help"`},
	} {
		t.Run(row.name, func(t *testing.T) {
			var notes []string
			emit := func(e Event) {
				if e.Note != "" {
					notes = append(notes, e.Note)
				}
			}
			in := Intake{Name: "the cable", Remedy: "set the speed"}
			in.Begin(0, false)
			in.Feed([]byte(row.fed), sec(1), emit)
			in.Tick(sec(4.9), emit)
			if len(notes) > 0 {
				t.Fatalf("complained too early: %q", notes)
			}
			in.Tick(sec(5), emit)
			in.Tick(sec(60), emit) // once is enough
			if len(notes) != 1 || !strings.Contains(notes[0], row.want) {
				t.Fatalf("notes %q, want one with %q", notes, row.want)
			}
			in.Feed([]byte("\n112.4\n"), sec(61), emit)
			in.Tick(sec(65), emit)
			in.Tick(sec(66), emit)
			if len(notes) != 2 || !strings.Contains(notes[1], "nothing has come") {
				t.Errorf("after a good reading and 5 s of silence: %q", notes[1:])
			}
		})
	}
}

func TestPowerOnWatch(t *testing.T) {
	var w PowerOnWatch
	for i, row := range []struct {
		c    Celsius
		want Fault
	}{
		{85, FaultPowerOn}, // first thing ever
		{85, FaultPowerOn},
		{21.5, FaultNone},
		{85, FaultPowerOn}, // from afar
		{84.5, FaultNone},
		{85, FaultNone}, // from close by, as a pot comes there
		{85, FaultNone},
		{85.0625, FaultNone},
	} {
		if got := w.Check(row.c); got != row.want {
			t.Errorf("%d: Check(%v) = %q, want %q", i, row.c, got, row.want)
		}
	}
}

// At a wrong speed garbage comes by the hundred lines a second; it is told of,
// but floods neither record nor fold.
func TestIntake_flood(t *testing.T) {
	in := Intake{}
	in.Begin(0, false)
	n := 0
	emit := func(e Event) {
		if e.Reading.Fault != FaultGarbled {
			t.Errorf("%+v", e)
		}
		n++
	}
	for ms := range 1000 {
		in.Feed([]byte("\x93\xff\n"), time.Duration(ms)*time.Millisecond, emit)
	}
	if n != 4 {
		t.Errorf("%d events for 1000 garbled lines in 1 s, want 4", n)
	}
	n = 0
	in.Feed([]byte("\x93\n112.4\n\x93\n"), sec(1), func(Event) { n++ })
	if n != 3 {
		t.Errorf("%d events, want each line's: a reading ends the flood", n)
	}
}
