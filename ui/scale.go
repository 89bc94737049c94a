package ui

import "math"

// steps are the degrees that one row of a chart may stand for.
var steps = [...]float64{0.1, 0.2, 0.25, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200, 500, 1000, 2000, 5000, 10000}

// scale maps degrees on the reader's scale to rows. One row is a whole number
// of steps away from the anchor, which is the target: so the target lies on a
// row of its own, and every label says exactly what its row stands for.
type scale struct {
	anchor float64
	step   float64
	bottom int // steps from the anchor to the lowest row
	rows   int // at least 2
}

// fit chooses the finest step at which lo and hi both find room.
func fit(lo, hi, anchor float64, rows int) scale {
	s := scale{anchor: anchor, rows: max(rows, 2)}
	for _, s.step = range steps {
		low := int(math.Floor((lo - anchor) / s.step))
		high := int(math.Ceil((hi - anchor) / s.step))
		if slack := s.rows - 1 - (high - low); slack >= 0 {
			// Spare rows go below, but for one: the top row holds names.
			s.bottom = low - max(slack-1, 0)
			return s
		}
	}
	s.bottom = -s.rows / 2
	return s
}

// min and max are the values of the lowest and the highest row, relative to
// the anchor.
func (s scale) min() float64 { return float64(s.bottom) * s.step }
func (s scale) max() float64 { return float64(s.bottom+s.rows-1) * s.step }

// row returns the row of a value from the top, which may lie outside. It
// rounds as the chart library does.
func (s scale) row(v float64) int {
	ratio := float64(s.rows-1) / math.Abs(s.max()-s.min())
	return s.rows - 1 - int(math.Round((v-s.anchor)*ratio)-math.Round(s.min()*ratio))
}

// clip returns v relative to the anchor, NaN when it lies outside: the chart
// library widens its bounds to what it is given.
func (s scale) clip(v float64) float64 {
	v -= s.anchor
	if hair := s.step / 1e6; v < s.min()-hair || v > s.max()+hair {
		return math.NaN()
	}
	return min(max(v, s.min()), s.max())
}

// value is what a row stands for.
func (s scale) value(row int) float64 {
	return s.anchor + float64(s.bottom+s.rows-1-row)*s.step
}
