package ui

import (
	"fmt"
	"time"
)

// strip draws the transport: speed, place, and what was said otherwise then.
func (m *replay) strip(cv *canvas, y int) {
	if m.rec == nil {
		return
	}
	sign := "‖ paused"
	if m.playing {
		sign = "▶ replay"
	}
	x := cv.text(1, y, keyCap, sign)
	x = cv.text(x, y, strong, fmt.Sprintf(" ×%d ", speeds[m.speed]))
	end := " " + clock(m.rec.end)
	n := cv.w - x - len(end) - 1
	if n > 4 && m.rec.end > 0 {
		at := func(t time.Duration) int { return min(int(int64(n)*int64(t)/int64(m.rec.end)), n-1) }
		for i := range n {
			r, st := '─', faint
			if i < at(m.at) {
				r, st = '━', plain
			}
			cv.set(x+i, y, r, st)
		}
		for _, t := range m.rec.stops {
			cv.set(x+at(t), y, '┼', mark)
		}
		cv.set(x+at(m.at), y, '█', keyCap)
		cv.text(x+n, y, faint, end)
	}
	if g, ok := m.rec.near(m.at); ok {
		cv.text(1, y+1, faint, "then: "+g.words(m.unit, m.words))
	}
}
