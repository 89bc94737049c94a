package plateau

import (
	"math"
	"time"
)

// reach is the seconds that a bend is looked for in: from the last time that
// the pot was cooled until now, a minute at most, without a stirred tip's.
type reach struct {
	n          int
	t          [recentS]float64 // s after from
	c          [recentS]float64 // °C over the first
	fade       [recentS]float64 // e^(−t/lag)
	half       [recentS]float64 // K to both sides that a coarsely rounded reading leaves open
	from, now  float64          // s
	span       float64          // s
	rest       bool             // it begins where the probe stood still, having followed the pot down
	lag        float64          // s
	variance   float64          // K², of a second's mean
	soft       float64          // K, by which the edges of a coarse step are blurred; 0 for fine steps
	step, base float64          // °C
	dip        float64          // K, a tip cooler than before by more is stirred
}

// A staircase shows the noise only at its edges. Where it is less than
// flickers of a step, its readings are intervals; otherwise it averages out.
const (
	flickers   = 0.3
	sharpest   = 0.08 // of a step: how sharp an edge is taken to be
	treadSlack = 0.6  // of a step: readings closer together may be the same
	edgeDip    = 0.75 // of a step
	reachLeast = 4
)

// glimpse is what a look at the last minute shows of the pot.
type glimpse uint8

const (
	unseen glimpse = iota // too little
	dipped                // a stirred tip
	seen
)

// gather collects the seconds, and reports what they show.
func (r *reach) gather(s *State, k *bend) glimpse {
	flicker := s.recent.flicker()
	noise := min(s.clean.noise, 1, s.recent.rough())
	slack := 2 * min(noise, 0.3)
	r.lag, r.step = s.cfg.Lag.Seconds(), s.clean.step
	r.dip = max(dipK+3*noise, 2*slack)
	if r.step > coarseStep && flicker < flickers {
		r.soft = max(flicker, sharpest) * r.step
		slack = r.step * treadSlack
		r.dip = max(dipK+3*flicker*r.step, edgeDip*r.step)
	}
	dips := r.collect(s, k, r.begin(s, k, slack))
	switch {
	case dips:
		return dipped
	case r.n < reachLeast:
		return unseen
	}
	r.now = s.at.Seconds()
	r.span = r.now - r.from
	r.measure(noise)
	return seen
}

// begin returns the second from which on the readings count.
func (r *reach) begin(s *State, k *bend, slack float64) int64 {
	c, past := &s.cook, &s.recent
	since := max(k.fellAt, c.creamAt)
	if c.ended {
		since = max(since, c.endAt-2*time.Second) // the hand is slower than the jug
	}
	from, oldest := int64(math.Ceil(since.Seconds())), past.head-past.n+1
	if r.rest = from >= oldest; !r.rest {
		return oldest
	}
	from = past.turned(from, from+int64(3*r.lag)+6, slack)
	if r.soft > 0 { // within a step it cannot be seen where the probe turned
		from = min(from+int64(r.lag), past.head)
	}
	return from
}

// collect takes the seconds from the given one on, and reports whether the
// last of them are a stirred tip's. What stays low is the pot: there it begins
// anew.
func (r *reach) collect(s *State, k *bend, from int64) (dips bool) {
	top := math.Inf(-1)
	low, back := int64(0), int64(0)
	for sec := from; sec <= s.recent.head; sec++ {
		b := &s.recent.bins[sec&recentMask]
		if b.n == 0 {
			continue
		}
		v := float64(b.c)
		if v < top-r.dip {
			if low == 0 {
				low = sec
			}
			if back = sec + int64(r.lag+2); sec-low <= int64(stirMost.Seconds()+r.lag) {
				dips = true
				continue
			}
			r.n, top, back, r.rest = 0, v, 0, true
			k.fellAt = time.Duration(sec) * time.Second
		}
		low, top = 0, max(top, v)
		if dips = sec < back; !dips {
			r.take(s, b, float64(sec))
		}
	}
	return dips
}

// take takes one second.
func (r *reach) take(s *State, b *secondMean, sec float64) {
	at, c := sec+b.t(), float64(b.c)
	if r.n == 0 {
		r.from, r.base = at, c
	}
	i := r.n
	r.t[i], r.c[i] = at-r.from, c-r.base
	r.fade[i] = exp((r.from - at) / max(r.lag, 0.1))
	if r.soft > 0 {
		r.half[i] = r.step / 2
		if b.falls > 0 || math.Abs(math.Remainder(c-s.clean.last, r.step)) > 0.05*r.step {
			r.half[i] = r.step / 4 // it shows both sides of an edge, and so lies near it
		}
	}
	r.n++
}

// measure finds how noisy the seconds are, from their second differences: a
// ramp has none. Bubbles pass in a second or two, so that neighbours are alike.
func (r *reach) measure(noise float64) {
	const (
		guess = 4    // seconds' worth of what is held of the noise
		alike = 1.5  // by which the variance of neighbours falls short
		model = 0.02 // K: no pot is a straight line
	)
	p := min(noise, 0.3)
	sum, n := guess*p*p, float64(guess)
	for i := 2; i < r.n; i++ {
		if d := r.c[i] - 2*r.c[i-1] + r.c[i-2]; r.t[i]-r.t[i-2] < 6 {
			sum += d * d / 6
			n++
		}
	}
	r.variance = max(alike*sum/n, noise*noise/3) + model*model
	if r.soft > 0 {
		r.variance = r.soft*r.soft + r.step*r.step/4
	}
}

// stands returns how high the pot has stood since it began to boil at the given
// time, °C: the lower of the two halves' means, since a leap is not where it
// stood. It reports whether the later half climbs, as a syrup does at the boil
// and water never: by then the probe has come up to the pot.
func (r *reach) stands(at time.Duration) (c float64, climbs bool) {
	from := max(at.Seconds()-r.from, 0) + 2*r.lag
	mid := (from + r.span) / 2
	var early, late sums
	for i := range r.n {
		switch {
		case r.t[i] >= mid:
			late.add(r.t[i], r.c[i])
		case r.t[i] >= from:
			early.add(r.t[i], r.c[i])
		}
	}
	if early.n < 3 || late.n < 3 {
		return r.base + r.c[r.n-1], false
	}
	t := late.trend(r.span, 0)
	w := r.span - mid
	sd := math.Sqrt(r.variance/max(late.stt-late.st*late.st/late.n, 1)) + 0.3*r.step/max(w, 1)
	c = r.base + min(early.sc/early.n, late.sc/late.n)
	return c, w > 15 && t.ok && t.slope > 5*sd+leastCreep
}

// leastCreep is what a probe and the weather may feign at the boil, °C/s.
const leastCreep = 0.06 / 60

// ramp is what the probe shows of a ramp that began t seconds ago.
func (r *reach) ramp(t float64) float64 {
	switch {
	case t <= 0:
		return 0
	case r.lag < 0.1:
		return t
	}
	return t - r.lag*(1-exp(-t/r.lag))
}

// turned returns the first second from from to to that is no more than slack
// above the lowest: there a probe that follows the pot down has met it.
func (r *recent) turned(from, to int64, slack float64) int64 {
	to = min(to, r.head)
	low := math.Inf(1)
	for sec := from; sec <= to; sec++ {
		if b := &r.bins[sec&recentMask]; b.n > 0 {
			low = min(low, float64(b.c))
		}
	}
	for ; from < to; from++ {
		if b := &r.bins[from&recentMask]; b.n > 0 && float64(b.c) <= low+slack {
			break
		}
	}
	return from
}

// flicker returns the noise of single readings in steps of the probe, from how
// often they fall: see fallsToSD.
func (r *recent) flicker() float64 {
	var falls, reads float64
	for i := range r.n {
		b := &r.bins[(r.head-i)&recentMask]
		falls += float64(b.falls)
		reads += float64(b.n)
	}
	return fallsToSD * falls / max(reads, 1)
}

// rough returns how noisy the seconds are, K, from the roots of their second
// differences' sizes, which a few leaps hardly move.
func (r *recent) rough() float64 {
	const root = 0.822 // mean of √|z|, z standard normal: 2^¼·Γ(¾)/√π
	var sum, n, a, b, c float64
	for i, run := r.n-1, 0; i >= 0; i-- {
		x := &r.bins[(r.head-i)&recentMask]
		if x.n == 0 {
			run = 0
			continue
		}
		a, b, c = b, c, float64(x.c)
		if run++; run >= 3 {
			sum += math.Sqrt(math.Abs(c - 2*b + a))
			n++
		}
	}
	if n < 4 {
		return 1
	}
	v := sum / n / root
	return v * v / math.Sqrt(6)
}
