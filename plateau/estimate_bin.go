package plateau

import (
	"math"
	"slices"
)

// bin gathers the readings of one second. The line is drawn through bins, so
// that it costs the same at half a reading a second as at ten.
type bin struct {
	second   float64 // ⌊t⌋
	n        float64
	t, c     float64 // sums, t counted from second
	low, top float64
}

// over reports whether a reading at t seconds belongs to a later bin.
func (b *bin) over(t float64) bool { return b.n > 0 && t >= b.second+1 }

// add takes a reading at t seconds.
func (b *bin) add(t, c float64) {
	if b.n == 0 {
		*b = bin{second: math.Floor(t), low: c, top: c}
	}
	b.n++
	b.t += t - b.second
	b.c += c
	b.low, b.top = min(b.low, c), max(b.top, c)
}

// point is a bin's mean, and the half-width of the interval that a probe with
// coarse steps leaves open.
type point struct {
	at      float64 // s, the probe's lag taken off
	c, half float32 // °C, K
	stray   bool    // it is left out of the line
}

// ringSize points are kept: a minute and a half at one reading a second or more.
const ringSize = 100

// ring is the last points, oldest first.
type ring struct {
	first, n int
	p        [ringSize]resting
}

// resting is a point as it is kept: small, since there are many.
type resting struct {
	at      int32   // ms, which is what a reading's time is told in
	c, half float32 // half is −1−half for a stray
}

// push takes a point in, in place of the oldest where there are enough.
func (r *ring) push(p point) {
	next := resting{int32(math.Round(p.at * 1e3)), p.c, p.half}
	if r.n == ringSize {
		r.p[r.first] = next
		if r.first++; r.first == ringSize {
			r.first = 0
		}
		return
	}
	r.n++
	*r.place(r.n - 1) = next
}

// place returns where the i-th oldest point is kept.
func (r *ring) place(i int) *resting {
	if i += r.first; i >= ringSize {
		i -= ringSize
	}
	return &r.p[i]
}

// at returns the i-th oldest point.
func (r *ring) at(i int) point {
	p := r.place(i)
	at := float64(p.at) / 1e3
	if p.half < 0 {
		return point{at, p.c, -1 - p.half, true}
	}
	return point{at, p.c, p.half, false}
}

// last returns the newest point.
func (r *ring) last() point { return r.at(r.n - 1) }

// leave leaves the i-th oldest point out of the line; take takes it in again.
func (r *ring) leave(i int) {
	if p := r.place(i); p.half >= 0 {
		p.half = -1 - p.half
	}
}

func (r *ring) take(i int) {
	if p := r.place(i); p.half < 0 {
		p.half = -1 - p.half
	}
}

// after returns the index of the first point later than at.
func (r *ring) after(at float64) int {
	for i := range r.n {
		if r.at(i).at > at {
			return i
		}
	}
	return r.n
}

// median returns the median of the points from index first on and up to time
// until, of at least one and at most nine.
func (r *ring) median(first int, until float64) float64 {
	var c [9]float32
	n := 0
	for i := first; i < r.n && n < len(c) && (n == 0 || r.at(i).at <= until); i++ {
		c[n] = r.at(i).c
		n++
	}
	slices.Sort(c[:n])
	return float64(c[n/2])
}
