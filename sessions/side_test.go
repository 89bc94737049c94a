package sessions

import (
	"fmt"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// Other channels are kept once a second and whenever their fault changes, by
// name, in bounds, and never become an input of the fold.
func TestRecorder_Side(t *testing.T) {
	r, err := Create(t.TempDir(), Header{Start: time.Now()})
	if err != nil {
		t.Fatal(err)
	}
	for i := range 41 { // ten seconds at 4 Hz
		at := time.Duration(i) * 250 * time.Millisecond
		side := probe.Reading{At: at, C: 22.5}
		if i == 10 {
			side = probe.Reading{At: at, Fault: probe.FaultOpen}
		}
		r.Input(plateau.Reading(probe.Reading{At: at, C: 104}))
		r.Side("room", side)
	}
	for i := range 2 * maxSides {
		r.Side(fmt.Sprint("stranger\x1b ", i), probe.Reading{At: time.Hour})
	}
	if err := r.Close(Summary{}); err != nil {
		t.Fatal(err)
	}
	s, err := Read(r.Path())
	if err != nil || len(s.Notes) > 0 {
		t.Fatalf("error %v, notes %q", err, s.Notes)
	}
	inputs, room, open := 0, 0, 0
	names := map[string]bool{}
	for range s.Inputs() {
		inputs++
	}
	for rec := range s.Sides() {
		names[rec.Text] = true
		switch {
		case rec.Text != "room":
		case rec.Side.Fault == probe.FaultOpen && rec.Side.At == 2500*time.Millisecond:
			open++
		case rec.Side.Fault == probe.FaultNone && rec.Side.C == 22.5:
			room++
		default:
			t.Errorf("record %+v", rec)
		}
	}
	if inputs != 41 || open != 1 || room < 10 || room > 12 || len(names) != maxSides {
		t.Errorf("%d inputs, %d faults and %d readings of the room, %d channels", inputs, open, room, len(names))
	}
}
