package main

import (
	"math"
	"slices"

	"boildown/syrup"
)

// lagged is the pot's temperature as a first-order probe follows it.
func lagged(rows []row, lag float64) []float64 {
	out := make([]float64, len(rows))
	for i, r := range rows {
		if i == 0 || lag <= 0 {
			out[i] = r.trueC
			continue
		}
		share := -math.Expm1(-(r.at - rows[i-1].at) / lag)
		out[i] = out[i-1] + (r.trueC-out[i-1])*share
	}
	return out
}

// toldAll is limit (c): the fit that is told the true curve, the true offset,
// each past change of heat, and which readings are mishaps.
func toldAll(o outcome) *limit {
	h := o.h
	lag := h.Config.Probe.Lag.Seconds()
	l := &limit{
		curves: []*curve{trueCurve(h)},
		target: float64(h.Target-0) - float64(h.Residual()),
		sigma:  sigmaOf(o),
	}
	behind := h.Config.HobLag.Seconds() + h.Config.BaseJK/h.Config.BaseWK
	for _, t := range o.turns {
		l.knots = append(l.knots, knot{known: t.at, at: t.at + behind, clear: t.at + min(2*behind, 40)})
	}
	shown := lagged(o.rows, lag)
	good := make([]bool, len(o.rows))
	bad := math.Inf(-1)
	for i, r := range o.rows {
		if math.Abs(r.c-shown[i]) > 4*l.sigma+0.05 {
			bad = r.at
		}
		good[i] = r.at > bad+3
	}
	l.bins = binned(o.rows, o.boils+10, lag, float64(h.Residual()), func(i int) bool { return good[i] })
	return l
}

// toldLittle is limit (d): the same fit told what the program is told. It
// knows besides when the pot began to boil.
func toldLittle(o outcome) *limit {
	h := o.h
	lag := h.Told.Lag.Seconds()
	l := &limit{target: float64(h.Target), sigma: sigmaOf(o)}
	if p := h.Told.PressurePa; p > 0 {
		kappa := usualKappa
		if h.Told.Recipe {
			kappa = recipeKappa(h, p)
		}
		l.curves = []*curve{newCurve(syrup.StarzakPeacock, p, kappa)}
	} else {
		l.curves = candidates
	}
	for _, t := range o.turns {
		if t.marked {
			l.knots = append(l.knots, knot{known: t.at, at: t.at + 10, clear: t.at + 20})
		}
	}
	good := steadyRows(o.rows)
	l.bins = binned(o.rows, o.boils+10, lag, 0, func(i int) bool { return good[i] })
	return l
}

// sigmaOf is a reading's standard deviation with its rounding.
func sigmaOf(o outcome) float64 {
	p := o.h.Config.Probe
	step := p.Step
	if p.Unit == 1 {
		step /= 1.8
	}
	return math.Sqrt(p.Noise*p.Noise + step*step/12 + 1e-4)
}

// steadyRows says which readings lie near the median of the nine round them.
func steadyRows(rows []row) []bool {
	good := make([]bool, len(rows))
	var near []float64
	for i, r := range rows {
		if !r.ok {
			continue
		}
		near = near[:0]
		for k := max(i-4, 0); k <= min(i+4, len(rows)-1); k++ {
			if rows[k].ok {
				near = append(near, rows[k].c)
			}
		}
		slices.Sort(near)
		good[i] = math.Abs(r.c-near[len(near)/2]) < 1.5
	}
	return good
}
