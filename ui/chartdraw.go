package ui

import (
	"fmt"
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

const (
	labelCols = 6 // degrees left of the axis
	sideCols  = 9 // words right of the plot
	minPlot   = 12
)

// sheet is a chart laid out in a rectangle of the screen.
type sheet struct {
	*chart
	cv       *canvas
	x, y     int // upper left cell of the plot
	n        int // columns of the plot
	s        scale
	from, to time.Duration
	cols     []column
}

// draw puts the chart into a rectangle. It needs at least 4 rows and enough
// columns; below that it draws nothing.
func (ch *chart) draw(cv *canvas, x, y, w, h int) {
	under := 2 // times, marks
	if h >= 9 {
		under = 3 // and the axis
	}
	sh := &sheet{chart: ch, cv: cv, x: x + labelCols + 1, y: y, n: w - labelCols - 1 - sideCols}
	rows := h - under
	if rows < 2 || sh.n < minPlot {
		return
	}
	sh.from, sh.to = ch.window()
	sh.cols = ch.hist.columns(sh.from, sh.to, ch.now, sh.n)
	lo, hi := ch.degrees(sh.cols)
	sh.s = fit(lo, hi, ch.unit.Of(ch.target()), rows)
	sh.lines()
	sh.spikes()
	sh.bands()
	sh.eventLines()
	sh.axes(under == 3)
	sh.markNames(y + h - 1)
	sh.promptNames()
	sh.ghostNames()
	sh.side()
}

// lines draws target, forecast and readings through the chart library.
func (sh *sheet) lines() {
	n := sh.n + 1
	target := sh.unit.Of(sh.target())
	track, next := nothing(n), nothing(n)
	for i, c := range sh.cols {
		if !math.IsNaN(c.c) {
			track[i] = sh.s.clip(sh.unit.Of(probe.Celsius(c.c)))
		}
	}
	track[n-1] = track[n-2]
	if p, ok := sh.path(); ok {
		for i := range n {
			if v := p.at(sh.timeAt(i)-sh.now, p.eta); !math.IsNaN(v) {
				next[i] = sh.s.clip(sh.unit.Of(probe.Celsius(v)))
			}
		}
	}
	goals := flat(sh.s.clip(target), n)
	for row, cells := range plotLines(sh.s, sh.n, goals, next, track) {
		for i, c := range cells {
			sh.cv.set(sh.x+i, sh.y+row, c.r, c.st)
		}
	}
}

// path returns the forecast's way when there is one to draw.
func (sh *sheet) path() (path, bool) {
	a := sh.advice
	if !a.Forecast.Ok() || !a.HasNow || a.Now >= sh.target() {
		return path{}, false
	}
	return newPath(a.Now, sh.target(), sh.fold.Pressure, a.Forecast), true
}

// timeAt is the time at the left edge of a column.
func (sh *sheet) timeAt(i int) time.Duration {
	return sh.from + time.Duration(float64(sh.to-sh.from)*float64(i)/float64(sh.n))
}

// colOf is the column of a time, which may lie outside.
func (sh *sheet) colOf(at time.Duration) int {
	return int(math.Floor(float64(at-sh.from) / float64(sh.to-sh.from) * float64(sh.n)))
}

func (sh *sheet) rowOf(c float64) int { return sh.s.row(sh.unit.Of(probe.Celsius(c))) }

// under draws a rune where the plot is still empty.
func (sh *sheet) under(i, row int, r rune, st style) {
	if i >= 0 && i < sh.n && row >= 0 && row < sh.s.rows && sh.cv.at(sh.x+i, sh.y+row) == ' ' {
		sh.cv.set(sh.x+i, sh.y+row, r, st)
	}
}

// spikes shows how far single readings stood from their column's mean, and
// readings that were doubted.
func (sh *sheet) spikes() {
	for i, c := range sh.cols {
		if !math.IsNaN(c.doubt) {
			row := min(max(sh.rowOf(c.doubt), 0), sh.s.rows-1)
			sh.cv.set(sh.x+i, sh.y+row, '×', doubted)
		}
		if !c.hasData {
			continue
		}
		mid := sh.rowOf(c.c)
		for row := max(sh.rowOf(c.hi), 0); row < min(mid-1, sh.s.rows); row++ {
			sh.under(i, row, '╎', track)
		}
		for row := min(sh.rowOf(c.lo), sh.s.rows-1); row > max(mid+1, -1); row-- {
			sh.under(i, row, '╎', track)
		}
	}
}

// bands shades the stall, the dip window and the forecast's interval.
func (sh *sheet) bands() {
	if p, ok := sh.path(); ok {
		for i := range sh.n {
			lo, hi := p.fan(sh.timeAt(i) - sh.now)
			if math.IsNaN(lo) || math.IsNaN(hi) {
				continue
			}
			for row := sh.rowOf(hi); row <= sh.rowOf(lo); row++ {
				sh.under(i, row, '░', spread)
			}
		}
	}
	if sh.stall.ok && !math.IsNaN(sh.stallLo) {
		sh.block(sh.stall.from, sh.stall.to, sh.stallLo, sh.stallHi, '░', stallBand)
	}
	if sh.pulledAt > 0 {
		sh.block(sh.pulledAt, sh.to, float64(sh.dipClose()), float64(sh.dipOpen()), '▒', dipBand)
	}
}

func (sh *sheet) block(from, to time.Duration, lo, hi float64, r rune, st style) {
	for i := max(sh.colOf(from), 0); i <= min(sh.colOf(to), sh.n-1); i++ {
		for row := max(sh.rowOf(hi), 0); row <= min(sh.rowOf(lo), sh.s.rows-1); row++ {
			sh.under(i, row, r, st)
		}
	}
}

// eventLines draws an upright line for each mark.
func (sh *sheet) eventLines() {
	for _, e := range sh.events {
		if e.Kind != EventMark || e.Mark == plateau.MarkNote && sh.n < 40 {
			continue
		}
		i := sh.colOf(e.At)
		if i < 0 || i >= sh.n {
			continue
		}
		for row := range sh.s.rows {
			switch sh.cv.at(sh.x+i, sh.y+row) {
			case ' ', '░', '▒':
				sh.cv.set(sh.x+i, sh.y+row, '┊', mark)
			}
		}
	}
}

// axes draws the degrees on the left and the times below.
func (sh *sheet) axes(line bool) {
	target := sh.s.row(sh.unit.Of(sh.target()))
	every := 1
	if sh.s.rows > 12 {
		every = 2
	}
	for row := range sh.s.rows {
		sh.cv.set(sh.x-1, sh.y+row, '┤', faint)
		st := faint
		if row == target {
			st = goal
		} else if (row-target)%every != 0 {
			continue
		}
		sh.cv.right(sh.x-2, sh.y+row, st, degreeLabel(sh.s.value(row), sh.s.step))
	}
	y := sh.y + sh.s.rows
	if line {
		sh.cv.set(sh.x-1, y, '└', faint)
		for i := range sh.n {
			sh.cv.set(sh.x+i, y, '─', faint)
		}
	}
	end := -1
	tick := niceTick((sh.to-sh.from)/time.Duration(max(sh.n/9, 1)) + 1)
	for t := (sh.from + tick - 1).Truncate(tick); t < sh.to; t += tick {
		i, label := sh.colOf(t), clock(t)
		if line {
			sh.cv.set(sh.x+i, y, '┬', faint)
		}
		at := max(i-len(label)/2, 0)
		if at <= end || at+len(label) > sh.n+2 {
			continue
		}
		ly := y
		if line {
			ly++
		}
		end = sh.cv.text(sh.x+at, ly, faint, label) - sh.x
	}
}

func degreeLabel(v, step float64) string {
	switch {
	case step == 0.25:
		return fmt.Sprintf("%.2f", v)
	case step < 1 || math.Abs(v-math.Round(v)) > 0.05:
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.0f", v)
}

// niceTick is the shortest round stretch not below d.
func niceTick(d time.Duration) time.Duration {
	for _, t := range [...]time.Duration{10 * time.Second, 20 * time.Second, 30 * time.Second, time.Minute, 2 * time.Minute, 5 * time.Minute, 10 * time.Minute, 15 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour, 4 * time.Hour, 12 * time.Hour} {
		if t >= d {
			return t
		}
	}
	return d.Truncate(24*time.Hour) + 24*time.Hour
}
