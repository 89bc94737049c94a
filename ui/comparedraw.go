package ui

import (
	"fmt"
	"math"
	"time"

	"github.com/guptarohit/asciigraph"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

var alignNames = map[sessions.Align]string{
	sessions.AlignCreamEnd: "0 is the last cream in",
	sessions.AlignStall:    "0 is the start of the stall",
	sessions.AlignPull:     "0 is the pull",
	sessions.AlignStart:    "0 is the start of the record",
}

// trackStyles tell curves apart where there is colour; their numbers on the
// curves do it where there is none.
var trackStyles = [MostCompared]style{track, goal, ahead, mark, doubted, dipBand}

func (m *compare) paint(w, h int) *canvas {
	cv := newCanvas(w, h, m.cfg.ASCII)
	if w < minCols || h < minRows {
		cv.text(0, 0, strong, "compare")
		cv.text(0, 1, plain, "too small: 40x12")
		cv.text(0, 2, plain, "is the least")
		return cv
	}
	sc := &scene{keys: []hint{{"a", "other moment"}, {"w", "whole/close"}, {"↑ ↓", "table"}, {"f", "°F/°C"}, {"q", "back"}}}
	if h < lowCompare {
		sc.keys = append([]hint{{"t", "table/curves"}}, sc.keys...)
	}
	sc.footer(cv, h-1)
	if m.got == nil {
		note := m.note
		if note == "" {
			note = "working it out"
		}
		cv.textTo(1, 0, w, plain, note)
		return cv
	}
	cv.textTo(1, 0, w, strong, alignNames[m.got.Align])
	y := 1
	for i, t := range m.got.Tracks {
		m.legend(cv, y, i, t)
		y++
	}
	rows := h - 1 - y
	if h < lowCompare {
		if m.table {
			m.differences(cv, y, rows)
		} else {
			m.curves(cv, y, rows)
		}
		return cv
	}
	table := min(len(m.got.Rows)+2, rows/2)
	m.curves(cv, y, rows-table)
	m.differences(cv, y+rows-table, table)
	return cv
}

// lowCompare is the height below which chart and table take turns.
const lowCompare = 20

func (m *compare) legend(cv *canvas, y, i int, t sessions.Track) {
	cv.text(1, y, trackStyles[i], fmt.Sprint(i+1))
	s := Clean(t.Title)
	if !t.Session.Header.Start.IsZero() {
		s = t.Session.Header.Start.Format("2006-01-02 15:04") + "  " + s
	}
	if word := t.Session.Label.Outcome.TextureWord(); word != "" {
		s += "  " + word
	}
	if !t.Aligned {
		s += "  (never had that moment)"
	}
	cv.textTo(3, y, cv.w, plain, s)
}

// span is the stretch of time on the chart: all of it, or what surrounds the
// stall and the pull.
func (m *compare) span() (from, to time.Duration) {
	for _, t := range m.got.Tracks {
		if len(t.Points) > 0 {
			from, to = min(from, t.Points[0].At), max(to, t.Points[len(t.Points)-1].At)
		}
	}
	if !m.whole {
		switch m.got.Align {
		case sessions.AlignPull:
			from, to = max(from, -12*time.Minute), min(to, 4*time.Minute)
		case sessions.AlignCreamEnd, sessions.AlignStall:
			from = max(from, -time.Minute)
		}
	}
	return from, max(to, from+time.Minute)
}

// series means a track's readings column by column; a column with a fault and
// no reading stays empty, one with neither is joined across.
func series(t sessions.Track, from, to time.Duration, n int) []float64 {
	g := make([]gather, n)
	for i := range g {
		g[i].lo, g[i].hi, g[i].doubt = math.Inf(1), math.Inf(-1), math.NaN()
	}
	for _, p := range t.Points {
		i := int(float64(p.At-from) / float64(to-from) * float64(n))
		if p.At < from || i >= n {
			continue
		}
		if !p.OK {
			g[i].bad++
			continue
		}
		g[i].sum += float64(p.C)
		g[i].n++
	}
	out := make([]float64, n+1)
	for i, c := range joined(g) {
		out[i] = c.c
	}
	out[n] = out[n-1]
	return out
}

func (m *compare) curves(cv *canvas, y, h int) {
	rows, n := h-2, cv.w-labelCols-3
	if rows < 3 || n < minPlot {
		return
	}
	u := m.cfg.Unit
	from, to := m.span()
	all := make([][]float64, len(m.got.Tracks))
	lo, hi, target := math.NaN(), math.NaN(), m.got.Tracks[0].Session.Header.Config.Target
	for i, t := range m.got.Tracks {
		all[i] = series(t, from, to, n)
		for k, c := range all[i] {
			if math.IsNaN(c) || !m.whole && c > float64(target)+12 {
				all[i][k] = math.NaN()
				continue
			}
			if !m.whole && c < float64(target)-16 {
				continue
			}
			if !(lo <= c) {
				lo = c
			}
			if !(hi >= c) {
				hi = c
			}
		}
	}
	if math.IsNaN(lo) {
		lo, hi = 20, 120
	}
	s := fit(u.Of(probe.Celsius(lo)), u.Of(probe.Celsius(max(hi, float64(target)))), u.Of(target), rows)
	sh := &sheet{chart: &chart{unit: u, advice: plateau.Advice{Target: target}}, cv: cv, x: labelCols + 1, y: y, n: n, s: s, from: from, to: to}
	m.drawTracks(sh, all)
	sh.axes(false)
	if zero := sh.colOf(0); zero >= 0 && zero < n {
		for row := range rows {
			sh.under(zero, row, '┊', mark)
		}
	}
}

// drawTracks draws the curves through the chart library and their numbers on
// them.
func (m *compare) drawTracks(sh *sheet, all [][]float64) {
	tags := map[int]style{}
	lines := [][]float64{flat(0, sh.n+1)}
	colours := []asciigraph.AnsiColor{tagGoal}
	chars := []asciigraph.CharSet{asciigraph.CreateCharSet("╌")}
	tags[tagGoal] = faint
	for i, values := range all {
		for k, c := range values {
			values[k] = sh.s.clip(sh.unit.Of(probe.Celsius(c)))
		}
		lines = append(lines, values)
		colours = append(colours, asciigraph.AnsiColor(tagTrack+1+i))
		chars = append(chars, asciigraph.DefaultCharSet)
		tags[tagTrack+1+i] = trackStyles[i]
	}
	for row, cells := range drawLines(sh.s, sh.n, lines, colours, chars, tags) {
		for i, c := range cells {
			sh.cv.set(sh.x+i, sh.y+row, c.r, c.st)
		}
	}
	for i, values := range all {
		for k := 4 + 3*i; k < sh.n; k += 20 {
			if !math.IsNaN(values[k]) {
				sh.cv.set(sh.x+k, sh.y+sh.s.row(values[k]+sh.s.anchor), rune('1'+i), trackStyles[i])
			}
		}
	}
}

// differences draws the table, what goes with the outcome first.
func (m *compare) differences(cv *canvas, y, h int) {
	if h < 2 {
		return
	}
	said := "largest differences first"
	if m.got.Outcome != "" {
		said = "what goes with the " + m.got.Outcome + " first; that does not make it the cause"
	}
	cv.textTo(1, y, cv.w, faint, said)
	n := len(m.got.Tracks) + 1
	first := min(24, cv.w/3)
	each := max((cv.w-1-first)/n, 4)
	rows := m.got.Rows
	m.list.top = min(m.list.top, max(len(rows)-1, 0))
	for i, d := range rows[m.list.top:] {
		if i+1 >= h {
			break
		}
		ry := y + 1 + i
		cv.textTo(1, ry, first, plain, Clean(d.Name))
		for k, v := range d.Values {
			cv.textTo(first+k*each+1, ry, first+(k+1)*each, trackStyles[k], Clean(v))
		}
		cv.textTo(first+(n-1)*each+1, ry, cv.w, strong, Clean(d.Spread))
	}
}
