package ui

import "fmt"

// View draws the pots under each other.
func (m *pots) View() string {
	if m.w == 0 || m.h == 0 {
		return ""
	}
	return m.paint(m.w, m.h).render(m.pal, false)
}

func (m *pots) paint(w, h int) *canvas {
	cv := newCanvas(w, h, m.cfg.ASCII)
	if w < minCols || h < 6 {
		cv.text(0, 0, strong, "pots")
		cv.text(0, 1, plain, "too small: 40x6")
		return cv
	}
	m.head(cv)
	y, end := 2, h-2
	rows := 1
	for n := len(m.all); n > 0 && rows < 4 && n*(rows+1) <= end-y; {
		rows++
	}
	fit := max((end-y)/rows, 1)
	all := m.ordered(fit)
	m.from = min(max(m.from, 0), max(len(all)-fit, 0))
	if len(all) == 0 {
		cv.textTo(1, y, w, plain, "No pot publishes here yet: boildown cook --publish makes the first.")
	}
	for i := m.from; i < len(all) && i < m.from+fit; i++ {
		m.pot(cv, y, rows, all[i])
		y += rows
	}
	if hidden := len(all) - fit; hidden > 0 {
		cv.text(1, h-2, strong, fmt.Sprintf("%d more: down shows them", hidden))
	}
	sc := &scene{keys: []hint{{"q", "leave"}, {"u", "°C or °F"}}}
	sc.footer(cv, h-1)
	return cv
}

func (m *pots) head(cv *canvas) {
	need := 0
	for _, p := range m.all {
		if a, _ := p.loud(); a.level > calm {
			need++
		}
	}
	head := fmt.Sprintf("%d pots", len(m.all))
	if len(m.all) == 1 {
		head = "1 pot"
	}
	if need > 0 {
		head += fmt.Sprintf(", %d to see to", need)
	}
	x := cv.text(1, 0, strong, head)
	if m.note != "" {
		cv.fill(x+1, 0, cv.w-x-1, 1, warn)
		cv.textTo(x+2, 0, cv.w, warn, Clean(m.note))
		return
	}
	cv.right(cv.w-1, 0, faint, Clean(m.cfg.Name))
}

// pot draws one pot in a number of rows: what to do and how hot in the first,
// the sentence in the second, small print in the third. What the window has no
// room for is left out from the right.
func (m *pots) pot(cv *canvas, y, rows int, p Pot) {
	a, sentence := p.loud()
	st := [...]style{plain, doAct, alarmAct}[a.level]
	if st != plain {
		cv.fill(0, y, cv.w, 1, st)
	}
	bold := st
	if st == plain {
		bold = strong
	}
	name, now, todo := p.Title(), p.now(m.cfg.Unit), a.shout
	if a.level == alarm {
		todo = "! " + todo + " !"
	}
	wide := cv.w >= 78
	nowAt, todoAt := cv.w-28, cv.w-14
	if wide {
		nowAt, todoAt = cv.w-62, cv.w-40
	}
	cv.textTo(1, y, nowAt-1, bold, name)
	cv.textTo(nowAt, y, todoAt-1, bold, now)
	cv.textTo(todoAt, y, cv.w, bold, todo)
	if wide {
		cv.textTo(nowAt+12, y, todoAt-1, st, phaseName(p.Advice.Phase))
		cv.textTo(todoAt+16, y, cv.w-7, st, p.left())
		cv.right(cv.w-1, y, st, long(p.Age()))
	}
	if rows > 1 {
		small := fmt.Sprintf("%s  %s  %s old", phaseName(p.Advice.Phase), p.left(), long(p.Age()))
		if wide {
			small = sentence
		}
		cv.textTo(3, y+1, cv.w, plain, small)
	}
	if rows > 2 {
		small := "target " + temp(p.Advice.Target, m.cfg.Unit)
		if s := p.left(); s != "" && p.Advice.HasNow && !p.Over {
			small += ", " + rising(p.Advice.Slope, m.cfg.Unit)
		}
		if !wide {
			small = sentence
		}
		cv.textTo(3, y+2, cv.w, faint, small)
	}
}
