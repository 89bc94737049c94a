package ui

import (
	"fmt"
	"strings"

	"boildown/probe"
	"boildown/sessions"
)

// View draws the list, or the screen that is open inside.
func (m *shelf) View() string {
	if m.inner != nil {
		return m.inner.View()
	}
	if m.w == 0 || m.h == 0 {
		return ""
	}
	return m.paint(m.w, m.h).render(m.pal, false)
}

func (m *shelf) paint(w, h int) *canvas {
	cv := newCanvas(w, h, m.cfg.ASCII)
	if w < minCols || h < minRows {
		cv.text(0, 0, strong, "shelf")
		cv.text(0, 1, plain, "too small: 40x12")
		cv.text(0, 2, plain, "is the least")
		return cv
	}
	head := fmt.Sprintf("%d batches", len(m.all))
	if m.filter != "" {
		head = fmt.Sprintf("%d of %d batches: %s", len(m.shown), len(m.all), Clean(m.filter))
	}
	cv.textTo(1, 0, w-18, strong, head)
	cv.right(w-1, 0, faint, "by "+sorts[m.sort])
	m.body(cv, 2, h-4)
	m.foot(cv, h-1)
	return cv
}

// body draws the list, or the page that is open over it.
func (m *shelf) body(cv *canvas, y, h int) {
	sc := &scene{cfg: m.cfg, unit: m.cfg.Unit}
	switch m.mode {
	case shelfHelp:
		shelfHelpPanel.draw(sc, cv, 0, y, cv.w, h)
	case shelfOutcome:
		e, _ := m.current()
		cv.textTo(1, y-1, cv.w-1, keyCap, "How did it come out? "+Clean(e.Title()))
		m.form.draw(sc, cv, 0, y, cv.w, h)
	case shelfFilter, shelfTitle, shelfTags, shelfNote, shelfDiscard:
		m.entry.draw(sc, cv, 0, y, cv.w, h)
	default:
		m.rows(cv, y, h)
	}
}

func (m *shelf) rows(cv *canvas, y, h int) {
	switch {
	case !m.ready:
		cv.text(1, y, plain, "reading the shelf")
		return
	case len(m.all) == 0:
		cv.textTo(1, y, cv.w, plain, "No batch has been kept yet: boildown cook makes the first.")
		return
	case len(m.shown) == 0:
		cv.textTo(1, y, cv.w, plain, "None fits. Esc shows all again.")
		return
	}
	lo, hi := m.list.window(h, len(m.shown))
	for i := lo; i < hi; i++ {
		m.row(cv, y+i-lo, m.shown[i], i == m.list.at)
	}
}

// row draws one batch: when, what, how hot against the target, how it came
// out, and its curve where there is room.
func (m *shelf) row(cv *canvas, y int, e sessions.Entry, here bool) {
	st, sign := plain, ' '
	if here {
		st, sign = field, '▶'
		cv.fill(0, y, cv.w, 1, field)
	}
	cv.set(0, y, sign, st)
	if m.picked[e.Name] {
		cv.set(1, y, '✓', st)
	}
	date := e.Start.Format("2006-01-02 15:04")
	if e.Start.IsZero() {
		date = "no date"
	}
	if cv.w < 70 {
		date = date[:min(len(date), 10)]
	}
	x := cv.text(2, y, st, date) + 1
	curve := min(max(cv.w-70, 0), 40)
	facts := m.facts(e)
	factsAt := cv.w - curve - 2 - max(textWidth(facts, cv.ascii), 27)
	if cv.w < 70 {
		factsAt = cv.w - 1 - textWidth(facts, cv.ascii)
	}
	cv.textTo(x, y, factsAt-1, st, Clean(e.Title())+tagText(e))
	cv.textTo(factsAt, y, cv.w-curve-1, st, facts)
	drawCurve(cv, cv.w-curve-1, y, curve, st, e)
}

func tagText(e sessions.Entry) string {
	if len(e.Label.Tags) == 0 {
		return ""
	}
	return " #" + Clean(strings.Join(e.Label.Tags, " #"))
}

// facts is the outcome in a few words.
func (m *shelf) facts(e sessions.Entry) string {
	u := m.cfg.Unit
	switch {
	case e.Trouble != "":
		return "cannot be read"
	case e.Damaged > 0:
		return fmt.Sprintf("damaged in %d places", e.Damaged)
	}
	s := "target " + number(e.Target, u)
	if e.Peak != 0 {
		s = fmt.Sprintf("%s %+.1f", number(e.Target, u), u.OfDelta(probe.Delta(e.Peak-e.Target)))
	}
	if m.w < 70 {
		return s
	}
	if word := e.Label.Outcome.TextureWord(); word != "" {
		return s + "  " + word
	}
	if !e.Closed {
		return s + "  not closed"
	}
	return s
}

// drawCurve draws a batch in one row: eight heights a column.
func drawCurve(cv *canvas, x, y, w int, st style, e sessions.Entry) {
	points, ok := e.Curve()
	if w < 8 || len(points) == 0 {
		return
	}
	heights := []rune("▁▂▃▄▅▆▇█")
	if cv.ascii {
		heights = []rune("_.-~=*^#")
	}
	lo, hi := probe.Celsius(20), probe.Celsius(120)
	for i, p := range points {
		if ok[i] {
			hi = max(hi, p)
		}
	}
	n := min(w, len(points))
	for i := range n {
		top, any := lo, false
		for k := i * len(points) / n; k < (i+1)*len(points)/n; k++ {
			if ok[k] {
				top, any = max(top, points[k]), true
			}
		}
		if !any {
			continue
		}
		f := float64(top-lo) / float64(hi-lo) * float64(len(heights)-1)
		cv.set(x+i, y, heights[min(max(int(f+0.5), 0), len(heights)-1)], st)
	}
}

func (m *shelf) foot(cv *canvas, y int) {
	sc := &scene{keys: []hint{{"?", "help"}, {"Enter", "replay"}, {"space", "pick"}, {"c", "compare"}, {"o", "outcome"}, {"/", "find"}, {"s", "order"}, {"x", "bin"}, {"q", "leave"}}}
	if m.mode != shelfList {
		sc.keys = []hint{{"Esc", "back to the shelf"}}
		if m.mode == shelfOutcome {
			sc.keys = []hint{{"Enter", "keep"}, {"Esc", "leave as it was"}}
		}
	}
	if m.note != "" && m.mode == shelfList {
		cv.textTo(1, y-1, cv.w, strong, m.note)
	}
	sc.footer(cv, y)
}
