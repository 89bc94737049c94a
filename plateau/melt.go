package plateau

import (
	"time"

	"boildown/probe"
)

// melting is the pot as the last few seconds show it, and the melt's course.
type melting struct {
	lookedAt time.Duration // the last second looked at
	now      float64       // °C, the probe's lag made good
	slope    float64       // °C/s
	first    float64       // °C, the first reading of the batch; 0 before
	top      float64       // °C, the hottest so far before the cream
	drops    int           // used readings in a row far under the melt's recent top
	fellAt   time.Duration // when the pot was last near its top
	hotAt    time.Duration // since when it has been hot enough to colour; 0 when it is not
}

// feel takes in one used reading c.
func (m *melting) feel(s *State, c float64) {
	if m.first == 0 {
		m.first = c
	}
	if sec := s.at / time.Second; s.cook.phase >= Stall && sec == m.lookedAt {
		return // a boil is slow: once a second is enough
	} else {
		m.lookedAt = sec
	}
	w := s.window(6, 10, 16)
	if s.cook.phase == Cream {
		w = s.window(4, 6, 12)
	}
	t := s.recent.line(s.at, w)
	m.now, m.slope = c, 0
	if t.ok && !s.settles() {
		m.slope = t.slope
		m.now = t.c + t.slope*s.est.lag
	}
	if s.cook.phase > Melt {
		return
	}
	if s.plunges(c) {
		m.drops++
		return
	}
	m.drops = 0
	if c < unevenBackC {
		m.hotAt = 0
	} else if c > unevenFromC && m.hotAt == 0 {
		m.hotAt = s.at
	}
	if m.top = max(m.top, min(c, m.now)); c > m.top-creamDropC {
		m.fellAt = s.at
	}
}

// Where a dry melt wants attention: common practice, no source.
const (
	swirlFromC  = 120.0
	sampleFromC = 150.0
	creamFromC  = 170.0 // amber; see syrup.ColourAt
	swirlEvery  = 45 * time.Second
	glance      = 15 * time.Second // how long a reminder stands
)

// Burn: sugar past 190 °C tastes bitter (common practice, no source). What is
// left from where the warning comes is 11 s at 1 °C/s and 22 s at 0.5, and a
// melt stopped at 175 °C never gets there. A slope is no guide to it: the last
// crystals hold a melt back, and once they are gone it leaps.
const (
	burntC    = 190.0
	burnWarnC = 179.1
	burnBackC = 175.0
	burnKeeps = 12              // s under that
	spoiltC   = 205.0           // black and smoking: McGee, On Food and Cooking, 2004
	creamTime = 5 * time.Second // from the mark to cream in the pot
)

// watchMelt raises what belongs to the melt.
func (s *State) watchMelt(a *Advice) {
	m, c := &s.melt, &s.cook
	const own = 1<<Swirl | 1<<Sample | 1<<AddCream | 1<<Burn
	if c.phase > Melt && s.alerts.standing&own == 0 {
		return
	}
	melts := c.phase == Melt
	solid := melts && c.look != MarkLookClear
	s.pulse(a, Swirl, solid && m.now > swirlFromC && m.now < burntC, swirlEvery, glance)
	s.pulse(a, Sample, solid && m.now > sampleFromC && m.now < burntC, swirlEvery, glance)

	clear := c.look == MarkLookClear || c.look == NoMark
	if ready := melts && clear && m.now >= creamFromC && m.now < spoiltC; ready && !s.alerts.standing.Has(AddCream) {
		s.cream.begin(s, s.at)
		s.cream.offer.g = s.portion()
		s.raise(a, AddCream)
	} else if melts && (!clear || m.now < creamFromC-5 || m.now > spoiltC) {
		s.alerts.clear(AddCream)
	}

	// Cream that was told and does not go in keeps nothing from burning.
	dry := melts || c.phase == Wait || c.phase == Cream && s.at-c.creamAt > creamTime
	if melts && s.blind.on && m.top > dryC {
		s.hold(a, Burn, s.guessed() >= burnWarnC, false)
		return
	}
	hottest, ok := s.recent.highest(burnKeeps, 0) // a tip that is lifted for a moment falls too
	s.hold(a, Burn, dry && s.fresh() && m.now >= burnBackC && s.surelyAt() >= burnWarnC,
		!dry || ok && max(hottest, m.now) < burnBackC && !s.settles())
}

// surelyAt returns what the melt has reached, the lag made good, °C: the lowest
// of three looks back, since hot spots wander round a tip in half-molten sugar,
// and a melt that has just been stopped still climbs on the probe.
func (s *State) surelyAt() (c float64) {
	if s.settles() {
		return s.guessed()
	}
	c = s.melt.now
	for _, w := range [...]int64{s.window(4, 6, 10), s.window(7, 9, 13), s.window(10, 12, 16)} {
		if t := s.recent.line(s.at, w); t.ok {
			c = min(c, t.c+max(t.slope, 0)*s.est.lag)
		}
	}
	return c
}

// Sugar that has been so hot for so long and is still dry in places colours
// there before the rest melts: common practice, no source.
const (
	unevenFromC  = 165.0
	unevenBackC  = 158.0
	unevenClumps = 45 * time.Second // with clumps told of
	unevenUntold = 4 * time.Minute  // with nothing told
)

// unevenly reports whether the melt colours in places and stays dry in others.
func (s *State) unevenly() bool {
	c := &s.cook
	if c.phase != Melt || s.melt.hotAt == 0 {
		return false
	}
	switch hot := s.at - s.melt.hotAt; c.look {
	case MarkLookClear:
		return false
	case MarkLookClumps, MarkLookColouring:
		return min(hot, s.at-c.looked) > unevenClumps
	default:
		return hot > unevenUntold
	}
}

// untilDark returns how long until the melt is too dark at its present slope.
func (s *State) untilDark() (time.Duration, bool) {
	m := &s.melt
	if s.cook.phase != Melt || m.now < creamFromC-30 || m.slope < 0.01 {
		return 0, false
	}
	return span((burntC - m.now) / m.slope), true
}

// fresh reports whether this input brought a usable reading.
func (s *State) fresh() bool { return s.clean.has && s.clean.at == s.at && !s.blind.on }

// secs turns a duration into seconds. It is [time.Duration.Seconds] but for
// the last bit, and in a fraction of its time.
func secs(d time.Duration) float64 { return float64(d) / 1e9 }

// span turns a number of seconds into a duration, 0 for less than none and
// a day at most.
func span(v float64) time.Duration {
	return time.Duration(within(min(max(v, 0), 86400), 0, 86400, 0) * float64(time.Second)).Round(time.Millisecond)
}

// lifted keeps the hottest of this time on the heat.
type lifted struct {
	peak probe.Celsius // 0 before the first boil
	on   bool
}

// again starts over as the pot goes on the heat.
func (l *lifted) again() { *l = lifted{on: true} }

// feel takes in the pot's present temperature.
func (l *lifted) feel(s *State) {
	if l.on && s.cook.phase >= Stall {
		l.peak = max(l.peak, s.pot())
	}
}
