package sessions

import (
	"math"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// A pot that is lifted early for a test and put back on keeps the peak of
// each lift, in the closing line and in what the review says.
func TestLifts_eachKeepsItsPeak(t *testing.T) {
	k := newKitchen(3)
	k.pot.Probe.Dips = 0
	now, lifted, back := probe.Celsius(0), time.Duration(0), false
	first := probe.Celsius(0) // the true peak of the first lift
	k.mishap = func(at time.Duration, p *pot.Pot, _ *probe.Reading) {
		if now = p.True(); !back && p.Look().JugG == 0 {
			first = max(first, now)
		}
	}
	k.extra = func(at time.Duration) []plateau.Input {
		switch {
		case lifted == 0 && first > 0 && now > probe.Fahrenheit(228) && at > 12*time.Minute:
			lifted = at
			return []plateau.Input{mark(at, "pull")}
		case lifted > 0 && !back && at > lifted+40*time.Second:
			back = true
			return []plateau.Input{mark(at, "back-on")}
		}
		return nil
	}
	s := k.recorded(t)
	sum := s.Summary
	if len(sum.Lifts) != 1 {
		t.Fatalf("%d earlier lifts on record, want one: %v", len(sum.Lifts), sum.Lifts)
	}
	if d := sum.Lifts[0].F() - first.F(); math.Abs(d) > 1 {
		t.Errorf("the first lift's peak is %.1f °F, true %.1f", sum.Lifts[0].F(), first.F())
	}
	if math.Abs(sum.Peak.F()-235) > 2 {
		t.Errorf("the last lift's peak is %.1f °F, want some 235", sum.Peak.F())
	}
	if got := Review(s, Usual{}).Summary; !strings.Contains(got, "lifted before") {
		t.Errorf("the review says %q, and nothing of the first lift", got)
	}
}

// A pull that is pressed by mistake and taken back is no lift.
func TestLifts_undonePullIsNone(t *testing.T) {
	k := newKitchen(3)
	k.pot.Probe.Dips = 0
	pressed, undone := time.Duration(0), false
	k.extra = func(at time.Duration) []plateau.Input {
		switch {
		case pressed == 0 && at > 12*time.Minute:
			pressed = at
			return []plateau.Input{mark(at, "pull")}
		case pressed > 0 && !undone && at > pressed+2*time.Second:
			undone = true
			return []plateau.Input{{Kind: plateau.Undone, At: at}}
		}
		return nil
	}
	s := k.recorded(t)
	if !undone || s.Summary.PullAt <= pressed+2*time.Second {
		t.Fatalf("undone: %v; the pull on record is at %v, pressed by mistake at %v", undone, s.Summary.PullAt, pressed)
	}
	if len(s.Summary.Lifts) != 0 {
		t.Errorf("earlier lifts on record: %v", s.Summary.Lifts)
	}
	if got := Review(s, Usual{}).Summary; strings.Contains(got, "lifted before") {
		t.Errorf("the review says %q", got)
	}
}
