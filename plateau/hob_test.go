package plateau

import (
	"testing"
	"time"

	"boildown/probe"
)

// A pot whose hob has switched off stands still for some seconds under the
// temperature that its mean slope promises; a stirred tip falls first.
func TestHobPauses(t *testing.T) {
	show := func(c func(sec int) float64) *State {
		s := Start(Config{Target: 112, Lag: 2 * time.Second})
		for i := range 50 {
			at := time.Duration(i) * time.Second
			s.recent.add(at, c(i))
			s.at = at
		}
		s.cook.boils, s.slopeC = true, 0.1
		return &s
	}
	climbs := func(i int) float64 { return 105 + 0.1*float64(i) }
	for name, c := range map[string]struct {
		curve func(int) float64
		want  bool
	}{
		"on":      {climbs, false},
		"off":     {func(i int) float64 { return climbs(min(i, 38)) }, true},
		"stirred": {func(i int) float64 { return climbs(i) - map[bool]float64{true: 0.9}[i > 42] }, false},
	} {
		if _, off := show(c.curve).hobPauses(); off != c.want {
			t.Errorf("%s: the hob pauses: %v, want %v", name, off, c.want)
		}
	}
	s := show(climbs)
	s.clean.step = 1
	if _, off := s.hobPauses(); off {
		t.Error("a step of 1 K hides a pause, and yet one is seen")
	}
}

// With the hob on, the pot rises by what it climbs until it is lifted and by
// what was told of the carry-over; with the hob off, by a share of both.
func TestPausedPeak(t *testing.T) {
	s := Start(Config{Target: 112, Lag: 2 * time.Second, CarryOver: probe.Delta(1)})
	s.cook.boils, s.slopeC = true, 0.1
	if got, want := s.pausedPeak(trend{c: 110, slope: 0.1}, 3), 110+0.5+1; got != want {
		t.Errorf("hob on: %v °C, want %v", got, want)
	}
	if got, want := s.pausedPeak(trend{c: 110, slope: -0.01}, 3), 110.0; got != want {
		t.Errorf("hob off: %v °C, want %v", got, want)
	}
}

// A pot taken for pulled that climbs for a minute is on the heat, even where it
// climbs by less than half a kelvin a minute; one that cools is off it.
func TestClimbsOffHeat(t *testing.T) {
	for _, c := range []struct {
		perS float64
		want bool
	}{{0.4 / 60, true}, {-0.4 / 60, false}, {0, false}} {
		s := Start(Config{Target: 112})
		s.cook.phase = Pulled
		for i := range 130 {
			at := time.Duration(i) * time.Second
			s.recent.add(at, 108+c.perS*float64(i))
			s.at, s.melt.now = at, 108+c.perS*float64(i)
		}
		s.off.coldest = 108 + min(c.perS*130, 0)
		if got := s.climbsOffHeat(); got != c.want {
			t.Errorf("at %.2f K/min the pot climbs: %v, want %v", c.perS*60, got, c.want)
		}
	}
}
