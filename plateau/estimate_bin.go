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

// add takes a reading at t seconds. If it belongs to the next bin, that bin is
// begun and the full one is returned.
func (b *bin) add(t, c float64) (full bin, done bool) {
	second := math.Floor(t)
	if b.n > 0 && second > b.second {
		full, done = *b, true
		b.n = 0
	}
	if b.n == 0 {
		*b = bin{second: second, low: c, top: c}
	}
	b.n++
	b.t += t - b.second
	b.c += c
	b.low, b.top = min(b.low, c), max(b.top, c)
	return full, done
}

// point is a bin at rest: its mean, and the half-width of the interval that a
// probe with coarse steps leaves open.
type point struct {
	at      float64 // s, the probe's lag taken off
	c, half float32 // °C, K; half is −1−half where the point is left out of the line
}

func (p *point) stray() bool { return p.half < 0 }

// leave leaves the point out of the line; take takes it in again.
func (p *point) leave() {
	if !p.stray() {
		p.half = -1 - p.half
	}
}

func (p *point) take() {
	if p.stray() {
		p.half = -1 - p.half
	}
}

// ringSize points are kept: a minute and a half at one reading a second or more.
const ringSize = 100

// ring is the last points, oldest first.
type ring struct {
	first, n int
	p        [ringSize]point
}

func (r *ring) push(p point) {
	if r.n == ringSize {
		r.p[r.first] = p
		r.first = (r.first + 1) % ringSize
		return
	}
	r.p[(r.first+r.n)%ringSize] = p
	r.n++
}

// at returns the i-th oldest point.
func (r *ring) at(i int) *point { return &r.p[(r.first+i)%ringSize] }

// last returns the newest point.
func (r *ring) last() *point { return r.at(r.n - 1) }

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
