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
	if scale == 0 {
		cv.centre(0, y+p.shout/2, cv.w, st, strings.Join(strings.Split(s, ""), " "))
		return
	}
	x := (cv.w - largeWidth(s, scale)) / 2
	cv.large(x, y+(p.shout-largeHeight(scale))/2, scale, st, false, s)
}

// sentence explains the loud line and says what space does.
func (sc *scene) sentence(cv *canvas, y int, a act) {
	s := phaseSentence(sc.snap.Advice, sc.unit)
	if a.has {
		s = Clean(sc.words(a.prompt, sc.snap.Advice, sc.unit))
		if a.quiet {
			s = "heard: " + s
		}
	}
	does := ""
	if sc.asks && a.space != "" {
		does = a.space
	}
	end := cv.w
	if does != "" {
		if w := textWidth(does, cv.ascii) + 9; cv.w >= 60 && w+textWidth(s, cv.ascii)+2 <= cv.w {
			end = cv.w - w
			x := cv.text(end, y, keyCap, "SPACE ")
			cv.text(x, y, strong, does)
		} else {
			// Too long for both: the key's meaning wins, it is what the hand needs.
			x := cv.text(1, y, keyCap, "SPACE ")
			x = cv.text(x, y, strong, does)
			if cv.w-x > 20 {
				cv.textTo(x+2, y, cv.w, plain, s)
			}
			return
		}
	}
	cv.textTo(1, y, end-1, plain, s)
}
