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
	head int64 // second of the newest bin
	n    int64 // seconds since the first bin, at most recentS
}

const recentS = 64

// secondMean is the mean of one second's readings.
type secondMean struct {
	c, t float32 // °C; s after the start of the second
	n    uint16
}

// add takes one used reading.
func (r *recent) add(at time.Duration, c float64) {
	sec := int64(at / time.Second)
	switch ahead := sec - r.head; {
	case r.n == 0 || ahead >= recentS:
		r.bins = [recentS]secondMean{}
		r.head, r.n = sec, 1
	default:
		for ; r.head < sec; r.n = min(r.n+1, recentS) {
			r.head++
			r.bins[r.head%recentS] = secondMean{}
		}
	}
	b := &r.bins[sec%recentS]
	if b.n < math.MaxUint16 {
		b.n++
	}
	t := (at - time.Duration(sec)*time.Second).Seconds()
	b.c += (float32(c) - b.c) / float32(b.n)
	b.t += (float32(t) - b.t) / float32(b.n)
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
	now := at.Seconds()
	base := float64(r.head)
	var n, st, sc, stt, stc, scc float64
	c0 := float64(r.bins[r.head%recentS].c)
	for i := range min(w, r.n) {
		b := &r.bins[(r.head-i)%recentS]
		if b.n == 0 {
			continue
		}
		t := float64(b.t) - float64(i)
		c := float64(b.c) - c0
		n++
		st += t
		sc += c
		stt += t * t
		stc += t * c
		scc += c * c
	}
	v := stt - st*st/max(n, 1)
	if n < 3 || v < 1 {
		return trend{c: c0, n: int(n)}
	}
	cov := stc - st*sc/n
	slope := cov / v
	t := trend{slope: slope, n: int(n), ok: true}
	t.c = c0 + sc/n + slope*(now-base-st/n)
	if rest := scc - sc*sc/n - slope*cov; n > 2 && rest > 0 {
		t.err = math.Sqrt(rest / (n - 2) / v)
	}
	return t
}

// mean returns the mean of the last w seconds and how many of them held a
// reading.
func (r *recent) mean(w int64) (c float64, n int) {
	for i := range min(w, r.n) {
		if b := &r.bins[(r.head-i)%recentS]; b.n > 0 {
			c += float64(b.c)
			n++
		}
	}
	return c / max(float64(n), 1), n
}

// highest returns the highest second between from and to seconds ago.
func (r *recent) highest(from, to int64) (c float64, ok bool) {
	c = math.Inf(-1)
	for i := to; i < min(from, r.n); i++ {
		if b := &r.bins[(r.head-i)%recentS]; b.n > 0 {
			c, ok = max(c, float64(b.c)), true
		}
	}
	return c, ok
}
