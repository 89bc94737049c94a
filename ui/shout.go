package ui

import "strings"

// shout draws the one thing to do now across the whole width: plain letters
// when nothing is asked, on a filled ground when something is, and between
// exclamation marks when it is late. So it is told apart without colour too.
func (sc *scene) shout(cv *canvas, y int, p plan, a act) {
	st := [...]style{calmAct, doAct, alarmAct}[a.level]
	if a.quiet {
		st = calmAct
	}
	if st != calmAct {
		cv.fill(0, y, cv.w, p.shout, st)
	}
	s := a.shout
	if a.level == alarm && !a.quiet {
		if loud := "! " + s + " !"; largest(loud, p.shoutScale, cv.w-2, p.shout) > 0 {
			s = loud
		}
	}
	scale := largest(s, p.shoutScale, cv.w-2, p.shout)
	if scale == 0 && a.brief != "" {
		s = a.brief
		scale = largest(s, p.shoutScale, cv.w-2, p.shout)
	}
	if scale == 0 {
		cv.centre(0, y+p.shout/2, cv.w, st, strings.Join(strings.Split(s, ""), " "))
		return
	}
	x := (cv.w - largeWidth(s, scale)) / 2
	cv.large(x, y+(p.shout-largeHeight(scale))/2, scale, st, false, s)
}

// sentence explains the loud line and says what space does. Where there is
// room for one thing only it is the key: that is what the hand needs.
func (sc *scene) sentence(cv *canvas, y, rows int, a act) {
	if rows < 1 {
		return
	}
	s := phaseSentence(sc.snap.Advice)
	if a.has {
		s = Clean(sc.words(a.prompt, sc.snap.Advice, sc.unit))
		if a.quiet {
			s = "heard: " + s
		}
	}
	all := wrap(s, cv.w-2, cv.ascii)
	end := cv.w - 1
	if sc.asks && a.space != "" {
		last := y + rows - 1
		if cv.w >= 60 && rows > 1 {
			end -= 7 + textWidth(a.space, cv.ascii)
			x := cv.text(end, last, keyCap, "SPACE ")
			cv.text(x, last, strong, a.space)
			end -= 2
			if len(all) >= rows {
				rest := strings.Join(all[rows-1:], " ")
				all = append(all[:rows-1], wrap(rest, end-1, cv.ascii)...)
			}
		} else {
			rows--
			x := cv.text(1, last, keyCap, "SPACE ")
			cv.text(x, last, strong, a.space)
		}
	}
	for i, line := range all {
		if i < rows {
			cv.text(1, y+i, plain, line)
		}
	}
	if len(all) < rows {
		sc.pace(cv, y+rows-1, end)
	}
}

// pace says in small print how far it is and how fast it goes there, where the
// row has room for it.
func (sc *scene) pace(cv *canvas, y, end int) {
	if a := sc.snap.Advice; !a.HasNow || !a.Forecast.Ok() {
		return
	}
	if s := sc.toGo(); textWidth(s, cv.ascii) < end {
		cv.text(1, y, faint, s)
	}
}
