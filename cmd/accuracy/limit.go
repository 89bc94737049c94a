package main

import (
	"math"
	"slices"
)

// limit is the weighted fit of the boil-off line against which the fold is
// held: straight pieces that join where the heat was changed, each allowed to
// bend a little, since a hotter pot loses more to the room.
type limit struct {
	curves []*curve // one, or the candidates of an unknown pressure
	knots  []knot
	bins   []bin
	target float64 // °C on the scale of the bins
	sigma  float64 // of one reading, K
}

// knot is a change of heat that the fit is told.
type knot struct {
	known float64 // s when it is told
	at    float64 // s when the line bends: later by hob and base
	clear float64 // s when the bend is over
}

// bin is the mean of a few seconds' readings.
type bin struct {
	t, c, n float64
	end     float64
}

const binSeconds = 5.0

// binned averages the rows that use accepts from start on. The times are set
// back by the probe's lag: on a ramp it shows what was, one lag ago.
func binned(rows []row, start, lag, offset float64, use func(i int) bool) (bins []bin) {
	var b bin
	flush := func() {
		if b.n > 0 {
			bins = append(bins, bin{t: b.t/b.n - lag, c: b.c/b.n - offset, n: b.n, end: b.end})
		}
		b = bin{}
	}
	from := math.Inf(-1)
	for i, r := range rows {
		if r.at < start || !r.ok || !use(i) {
			continue
		}
		if r.at >= from+binSeconds {
			flush()
			from = r.at
		}
		b.t, b.c, b.n, b.end = b.t+r.at, b.c+r.c, b.n+1, r.at
	}
	flush()
	return bins
}

// forecast answers as of time now, s. NaN is no answer.
func (l *limit) forecast(now float64) float64 {
	bins := l.bins[:upTo(l.bins, now)]
	var knots []knot
	for _, k := range l.knots {
		if k.known <= now {
			knots = append(knots, k)
		}
	}
	kept := make([]bin, 0, len(bins))
	for _, b := range bins {
		bending := slices.ContainsFunc(knots, func(k knot) bool { return b.t > k.known && b.t < k.clear })
		if !bending {
			kept = append(kept, b)
		}
	}
	best, eta := math.Inf(1), nan
	for _, c := range l.curves {
		if e, misfit := l.fit(c, kept, knots, now); misfit < best {
			best, eta = misfit, e
		}
	}
	return eta
}

func upTo(bins []bin, now float64) int {
	n, _ := slices.BinarySearchFunc(bins, now, func(b bin, t float64) int {
		if b.end <= t {
			return -1
		}
		return 1
	})
	return n
}

// fit fits one curve's line and returns its answer and the misfit in K².
func (l *limit) fit(c *curve, bins []bin, knots []knot, now float64) (eta, misfit float64) {
	if len(bins) < 3 {
		return nan, math.Inf(1)
	}
	t0 := bins[0].t
	y, w := make([]float64, len(bins)), make([]float64, len(bins))
	for i, b := range bins {
		// The weight is the curve's steepness where the pot was, so it must
		// not follow each bin's own noise.
		near := 0.0
		lo, hi := max(i-3, 0), min(i+3, len(bins)-1)
		for k := lo; k <= hi; k++ {
			near += bins[k].c / float64(hi-lo+1)
		}
		tangent, slope := c.at(near)
		y[i], w[i] = tangent+slope*(b.c-near), l.weight(b)/(slope*slope)
	}
	x, ok := l.line(bins, nil, y, w, t0, prior{drift: 1e-9})
	if !ok {
		return nan, math.Inf(1)
	}
	usual := prior{turn: 0.4 * math.Abs(x[1]), drift: 0.1 / 600 * math.Abs(x[1])}
	for range 3 {
		if x, ok = l.line(bins, knots, y, w, t0, usual); !ok {
			return nan, math.Inf(1)
		}
		misfit = 0
		for i, b := range bins {
			fitted := value(x, knots, b.t, t0)
			tC := c.of(fitted)
			_, slope := c.at(tC)
			y[i], w[i] = fitted+slope*(b.c-tC), l.weight(b)/(slope*slope)
			misfit += l.weight(b) * (b.c - tC) * (b.c - tC)
		}
	}
	goal, _ := c.at(l.target)
	rate := x[1] + x[2]*(now-t0)
	for j := range knots {
		rate += x[3+j]
	}
	eta = (value(x, knots, now, t0) - goal) / rate
	if rate <= 0 || eta > horizon.Seconds() {
		return nan, misfit
	}
	return eta, misfit
}

// weight is one over a bin's variance. Bubbles make neighbours alike, so many
// readings a second are worth no more than one.
func (l *limit) weight(b bin) float64 { return min(b.n, binSeconds) / (l.sigma * l.sigma) }

// value is the line at t: x holds its start, its rate of fall, how that rate
// drifts, and by how much each knot changes it.
func value(x []float64, knots []knot, t, t0 float64) float64 {
	y := x[0] - x[1]*(t-t0) - x[2]*(t-t0)*(t-t0)/2
	for j, k := range knots {
		y -= x[3+j] * max(0, t-k.at)
	}
	return y
}

// prior is what is expected before anything is seen: how much a turn of the
// knob changes the rate, or the moments after it would be anybody's guess, and
// how much the rate drifts by itself as a warmer pot loses more.
type prior struct{ turn, drift float64 }

// line solves the weighted least squares.
func (l *limit) line(bins []bin, knots []knot, y, w []float64, t0 float64, p prior) ([]float64, bool) {
	n := 3 + len(knots)
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	v, phi := make([]float64, n), make([]float64, n)
	for i, b := range bins {
		t := b.t - t0
		phi[0], phi[1], phi[2] = 1, -t, -t*t/2
		for j, k := range knots {
			phi[3+j] = -max(0, b.t-k.at)
		}
		for r := range n {
			v[r] += w[i] * phi[r] * y[i]
			for s := range n {
				m[r][s] += w[i] * phi[r] * phi[s]
			}
		}
	}
	m[2][2] += 1 / (p.drift * p.drift)
	for j := range knots {
		m[3+j][3+j] += 1 / (p.turn*p.turn + 1e-12)
	}
	return v, solve(m, v)
}
