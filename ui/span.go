package ui

import (
	"math"
	"time"
)

// column is what one column of the chart holds. C is NaN in a gap.
type column struct {
	c, lo, hi float64 // °C: mean, coldest and hottest reading
	doubt     float64 // °C, a doubted reading; NaN for none
	hasData   bool    // readings of its own, not merely joined across
}

type gather struct {
	sum           float64
	n, bad        int
	lo, hi, doubt float64
	cut           bool
}

// columns cuts the stretch from–to into n columns, leaving out what came
// after until. Readings are joined only when nothing was wrong between them.
func (h *History) columns(from, to, until time.Duration, n int) []column {
	if n <= 0 || to <= from {
		return nil
	}
	g := make([]gather, n)
	for i := range g {
		g[i].lo, g[i].hi, g[i].doubt = math.Inf(1), math.Inf(-1), math.NaN()
	}
	h.mu.Lock()
	each := float64(to-from) / float64(n)
	i := max(int(from/h.width), 0)
	for ; i < h.used; i++ {
		start := time.Duration(i) * h.width
		if start >= to || start > until {
			break
		}
		h.buckets[i].addTo(g, float64(start-from), each, h.width)
	}
	h.mu.Unlock()
	return joined(g)
}

// addTo puts a bucket into the column in which its readings lie.
func (b *bucket) addTo(g []gather, start, each float64, width time.Duration) {
	if b.n == 0 && b.bad == 0 {
		return
	}
	mid := start + float64(width)/2
	if b.n > 0 {
		mid = start + float64(b.first+b.last)/2*float64(time.Second)
	}
	k := int(math.Floor(mid / each))
	if k < 0 || k >= len(g) {
		return
	}
	c := &g[k]
	c.bad += int(b.bad)
	if b.doubted {
		c.doubt = float64(b.doubt)
	}
	if b.n > 0 {
		c.sum += float64(b.sum)
		c.n += int(b.n)
		c.lo, c.hi = min(c.lo, float64(b.lo)), max(c.hi, float64(b.hi))
		c.cut = c.cut || b.cut
	}
}

func joined(g []gather) []column {
	cols := make([]column, len(g))
	last, badSince := -1, false
	for i := range g {
		cols[i] = column{c: math.NaN(), lo: math.NaN(), hi: math.NaN(), doubt: g[i].doubt}
		if g[i].n == 0 {
			badSince = badSince || g[i].bad > 0
			continue
		}
		mean := g[i].sum / float64(g[i].n)
		switch {
		case g[i].cut && last == i-1 && i > 0:
			// The gap lies inside this column: one empty column shows it.
			last, badSince = i, false
			continue
		case last >= 0 && last < i-1 && !g[i].cut && !badSince && !math.IsNaN(cols[last].c):
			for k := last + 1; k < i; k++ {
				f := float64(k-last) / float64(i-last)
				v := cols[last].c + f*(mean-cols[last].c)
				cols[k].c, cols[k].lo, cols[k].hi = v, v, v
			}
		}
		cols[i].c, cols[i].lo, cols[i].hi, cols[i].hasData = mean, g[i].lo, g[i].hi, true
		last, badSince = i, false
	}
	return cols
}
