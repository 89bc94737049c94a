package plateau

import (
	"testing"
	"time"
)

// The cook is called when the pull is half a minute off and a little more, and
// sooner where the forecast may well be too late.
func TestNears(t *testing.T) {
	s := Start(Config{Target: 112, Reaction: 2 * time.Second})
	for _, c := range []struct {
		low, eta float64 // s
		want     bool
	}{
		{38, 42, true},  // 40 s to the pull
		{42, 46, false}, // 44 s
		{33, 60, true},  // as likely as one in ten in 31 s
		{40, 60, false},
	} {
		f := Forecast{Low: seconds(c.low), ETA: seconds(c.eta), High: seconds(2 * c.eta)}
		if got := s.nears(f); got != c.want {
			t.Errorf("%v s, at the earliest %v s: %v, want %v", c.eta, c.low, got, c.want)
		}
	}
}

// Known pressure, fine steps and quiet readings are a careful cook's: the curve
// is doubted less than where the readings must tell the pressure too.
func TestCurveIsDoubtedByWhatIsTold(t *testing.T) {
	told, open := newEstimator(Config{Target: 112.8, Pressure: 101325}), newEstimator(Config{Target: 112.8})
	for i := range 60 {
		at := time.Duration(i) * time.Second
		told.observe(at, 104)
		open.observe(at, 104)
	}
	if a, b := told.model().shape, open.model().shape; a != shapeShare || b != shapeOpen {
		t.Errorf("the curve is doubted by %v where the pressure was told and by %v where not", a, b)
	}
}

// A lost reading does not silence the call that rests on the forecast, a spoon
// does for as long as it and the probe's lag last, and a gap for longer.
func TestUnsettle(t *testing.T) {
	at := func(change func(s *State)) time.Duration {
		s := Start(Config{Target: 112, Lag: 3 * time.Second})
		s.at, s.alerts.unsureAt = 100*time.Second, 20*time.Second
		change(&s)
		s.unsettle(true)
		return s.alerts.unsureAt + sureAfter
	}
	for _, c := range []struct {
		name   string
		change func(s *State)
		want   time.Duration // from when on the forecast may call
	}{
		{"nothing", func(*State) {}, 20*time.Second + sureAfter},
		{"a lost reading", func(s *State) { s.blind.on = true }, 20*time.Second + sureAfter},
		{"a gap", func(s *State) { s.blind.on, s.blind.told = true, true }, 100*time.Second + sureAfter},
		{"a spoon", func(s *State) { s.clean.stirred = true }, 114 * time.Second},
	} {
		if got := at(c.change); got != c.want {
			t.Errorf("%s: sure from %v on, want %v", c.name, got, c.want)
		}
	}
}

// A pot that plunges has had cream just now, though it stood still until then;
// one that is stirred for a second or two, or that climbs, has not.
func TestPouredLately(t *testing.T) {
	for _, c := range []struct {
		name string
		last []float64 // °C, the last seconds
		want bool
	}{
		{"climbs", []float64{134.2, 134.3}, false},
		{"plunges", []float64{128, 124}, true},
		{"stands lower than it did", []float64{131, 130, 129.8, 129.7, 129.7, 129.7}, true},
		{"is stirred", []float64{133.2, 133.4, 134.1}, false},
	} {
		s := Start(Config{Target: 110.5})
		s.cook.phase = Cream
		for i := range 30 {
			s.at = time.Duration(i) * time.Second
			s.recent.add(s.at, 134+0.01*float64(i))
		}
		for _, v := range c.last {
			s.at += time.Second
			s.recent.add(s.at, v)
		}
		if got := s.pouredLately(); got != c.want {
			t.Errorf("a pot that %s: %v", c.name, got)
		}
	}
}
