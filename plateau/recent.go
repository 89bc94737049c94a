package plateau

import (
	"math"
	"time"
)

// recent holds the last minute of used readings as means over whole seconds,
// so that a probe of any rate costs the same. It is what the quick decisions
// look at: the melt, the cream's drops, the moment the pot boils.
type recent struct {
	bins [recentS]secondMean
	head int64   // second of the newest bin
	n    int64   // seconds since the first bin, at most recentS
	full int64   // of which hold a reading
	last float32 // °C, the newest reading

	minute   float64 // °C/s, slope of the last minute, as of second minuteAt
	minuteAt int64
	minuteOk bool
}

// recentS is a power of two so that a second's place is a mask away.
const (
	recentS    = 64
	recentMask = recentS - 1
)

// secondMean is the mean of one second's readings.
type secondMean struct {
	c     float32 // °C
	part  uint16  // of the second that had gone, in parts of partsPerS
	n     uint8   // readings, no more counted than there is room for
	falls uint8   // readings lower than the one before
}

const partsPerS = math.MaxUint16

// t returns how long after the start of the second the mean stands, s.
func (b *secondMean) t() float64 { return float64(b.part) * (1.0 / partsPerS) }

// add takes one used reading.
func (r *recent) add(at time.Duration, c float64) {
	sec := int64(at / time.Second)
	switch ahead := sec - r.head; {
	case r.n == 0 || ahead >= recentS:
		*r = recent{head: sec, n: 1}
	default:
		for ; r.head < sec; r.n = min(r.n+1, recentS) {
			r.head++
			b := &r.bins[r.head&recentMask]
			if b.n > 0 {
				r.full--
			}
			*b = secondMean{}
		}
	}
	b := &r.bins[sec&recentMask]
	if b.n == 0 {
		r.full++
	}
	if b.n < math.MaxUint8 {
		b.n++
	}
	if float32(c) < r.last-1e-3 && b.falls < math.MaxUint8 {
		b.falls++
	}
	r.last = float32(c)
	share := 1 / float32(b.n)
	b.c += (float32(c) - b.c) * share
	part := float32(at-time.Duration(sec)*time.Second) * (partsPerS / 1e9)
	b.part = uint16(float32(b.part) + (part-float32(b.part))*share)
}

// clear forgets everything.
func (r *recent) clear() { *r = recent{} }

// trend is a straight line through recent readings.
type trend struct {
	c     float64 // °C on the line at the time asked for
	slope float64 // °C/s
	err   float64 // standard error of the slope, °C/s
	n     int     // seconds that held a reading
	ok    bool    // the line stands on enough
}

// line fits the last w seconds before at by least squares.
func (r *recent) line(at time.Duration, w int64) trend {
	var n, st, sc, stt, stc, scc float64 // in registers, as no struct would be
	base := r.newest()
	for i := range min(w, r.n) {
		b := &r.bins[(r.head-i)&recentMask]
		if b.n == 0 {
			continue
		}
		t, c := b.t()-float64(i), float64(b.c)-base
		n, st, sc, stt, stc, scc = n+1, st+t, sc+c, stt+t*t, stc+t*c, scc+c*c
	}
	f := sums{n, st, sc, stt, stc, scc}
	return f.trend(secs(at)-float64(r.head), base)
}

// climb fits the last w seconds like line, but leaves out what lies more than
// dip under a reading before it: a stirred tip, not a cooling pot. It reports
// when the last seconds are such a dip.
func (r *recent) climb(at time.Duration, w int64, dip float64) (t trend, dips bool) {
	var n, st, sc, stt, stc, scc float64
	base := r.newest()
	top, out := math.Inf(-1), int64(-1)
	w = min(w, r.n)
	for i := w - 1; i >= 0; i-- {
		b := &r.bins[(r.head-i)&recentMask]
		if b.n == 0 {
			continue
		}
		c := float64(b.c)
		if c < top-dip {
			out = i
			continue
		}
		if c > top {
			top = c
		}
		t := b.t() - float64(i)
		c -= base
		n, st, sc, stt, stc, scc = n+1, st+t, sc+c, stt+t*t, stc+t*c, scc+c*c
	}
	f := sums{n, st, sc, stt, stc, scc}
	t = f.trend(secs(at)-float64(r.head), base)
	if n < 0.6*float64(w)*r.share() {
		t.ok = false
		return t, false // too much of it lies low: this is a fall
	}
	return t, out == 0
}

// share is the share of seconds that hold a reading.
func (r *recent) share() float64 { return float64(r.full) / max(float64(r.n), 1) }

// slope fits the last minute like line, but once a second only: a minute's
// slope does not change between the readings of a second.
func (r *recent) slope() (degCPerS float64, ok bool) {
	if r.minuteAt != r.head {
		t := r.line(0, 60)
		r.minute, r.minuteOk, r.minuteAt = t.slope, t.ok, r.head
	}
	return r.minute, r.minuteOk
}

// newest returns the last second's mean.
func (r *recent) newest() float64 { return float64(r.bins[r.head&recentMask].c) }

// sums holds the sums of a least-squares line.
type sums struct{ n, st, sc, stt, stc, scc float64 }

func (f *sums) add(t, c float64) {
	f.n, f.st, f.sc, f.stt, f.stc, f.scc = f.n+1, f.st+t, f.sc+c, f.stt+t*t, f.stc+t*c, f.scc+c*c
}

// trend returns the line at time t; base is added to its temperature.
func (f *sums) trend(t, base float64) trend {
	v := f.stt - f.st*f.st/max(f.n, 1)
	if f.n < 3 || v < 1 {
		return trend{c: base, n: int(f.n)}
	}
	cov := f.stc - f.st*f.sc/f.n
	slope := cov / v
	l := trend{slope: slope, n: int(f.n), ok: true, c: base + f.sc/f.n + slope*(t-f.st/f.n)}
	if rest := f.scc - f.sc*f.sc/f.n - slope*cov; rest > 0 {
		l.err = math.Sqrt(rest / (f.n - 2) / v)
	}
	return l
}

// mean returns the mean of the last w seconds and how many of them held a
// reading.
func (r *recent) mean(w int64) (c float64, n int) {
	for i := range min(w, r.n) {
		if b := &r.bins[(r.head-i)&recentMask]; b.n > 0 {
			c += float64(b.c)
			n++
		}
	}
	return c / max(float64(n), 1), n
}

// before returns the mean of the ten seconds round so long ago, and whether they
// go back so far.
func (r *recent) before(ago time.Duration) (c float64, ok bool) {
	n := 0
	mid := int64(ago / time.Second)
	for i := mid - 5; i < min(mid+5, r.n); i++ {
		if b := &r.bins[(r.head-i)&recentMask]; b.n > 0 {
			c += float64(b.c)
			n++
		}
	}
	return c / max(float64(n), 1), n >= 3
}

// highest returns the highest second between from and to seconds ago.
func (r *recent) highest(from, to int64) (c float64, ok bool) {
	c = math.Inf(-1)
	for i := to; i < min(from, r.n); i++ {
		if b := &r.bins[(r.head-i)&recentMask]; b.n > 0 {
			c, ok = max(c, float64(b.c)), true
		}
	}
	return c, ok
}
