package ui

import (
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// The smallest window that holds the three things a cook must read.
const (
	minCols = 40
	minRows = 12
)

// scene is everything that one frame of a batch shows. Live and replay draw
// the same scene.
type scene struct {
	cfg    Config
	unit   probe.Unit
	snap   Snapshot
	hist   *History
	view   view
	flash  bool                    // this half second the urgent screen is inverted
	foot   string                  // what happened last, in place of the keys
	panel  panel                   // takes the chart's place; nil for the chart
	keys   []hint                  // worth naming at the bottom
	ghosts []ghost                 // prompts that were shown otherwise then
	strip  func(cv *canvas, y int) // replay's transport, nil when live
	asks   bool                    // space is answered: say what it does
	words  sentences               // a prompt in full
}

// view says which chart is shown.
type view uint8

const (
	viewAuto  view = iota // the close view from the stall on
	viewWhole             // the whole batch
	viewClose             // the stall and the target
)

// turned is the other chart than the one that v shows in a phase.
func (v view) turned(p plateau.Phase) view {
	if v.isClose(p) {
		return viewWhole
	}
	return viewClose
}

func (v view) isClose(p plateau.Phase) bool {
	return v == viewClose || v == viewAuto && p >= plateau.Stall
}

// panel is a page that stands where the chart was; the three great things
// stay above it.
type panel interface {
	draw(sc *scene, cv *canvas, x, y, w, h int)
}

// hint is a key and what it does.
type hint struct{ key, does string }

// plan is how many rows each part gets, from the top down.
type plan struct {
	notices, hero, heroScale, shout, shoutScale, sentence, chart, strip int
	timeBelow                                                           bool // the time left stands where the chart would
}

// leastChart is the fewest rows worth drawing a chart in.
const leastChart = 6

// plan shares the window's rows among the parts. The chart takes what is left;
// when that is too little, the time left takes its place in large figures.
func (sc *scene) plan(w, h, notices int) plan {
	p := plan{notices: notices, heroScale: 1, shoutScale: 1, sentence: 2}
	switch {
	case w >= 100 && h >= 34:
		p.heroScale, p.shoutScale = 3, 2
	case w >= 70 && h >= 22:
		p.heroScale = 2
	}
	if sc.strip != nil {
		p.strip = 2
	}
	p.hero = largeHeight(p.heroScale)
	p.shout = largeHeight(p.shoutScale)
	if p.heroScale == 3 {
		p.shout += 2
	}
	left := h - 1 - p.notices - p.hero - p.shout - p.strip - 1
	p.chart = left - p.sentence
	if p.chart < leastChart {
		p.timeBelow = sc.panel == nil && sc.timed()
		switch {
		case sc.panel != nil:
			p.sentence = min(1, left)
		case p.timeBelow && left >= 4:
			p.sentence = left - 3
		case p.timeBelow:
			p.sentence = max(left-1, 0)
		default:
			p.sentence = left
		}
		p.chart = left - p.sentence
	}
	return p
}

// paint draws the scene into a fresh canvas.
func (sc *scene) paint(w, h int) *canvas {
	cv := newCanvas(w, h, sc.cfg.ASCII)
	if w < minCols || h < minRows {
		sc.tooSmall(cv)
		return cv
	}
	notices := sc.notices()
	rows := layNotices(notices, w, h, sc.cfg.ASCII)
	p := sc.plan(w, h, len(rows))
	y := sc.statusLine(cv, 0, notices)
	y = drawNotices(cv, y, rows)
	a := sc.act()
	if sc.panel != nil && p.chart < leastPanel {
		sc.crowded(cv, y, h, a)
		return cv
	}
	sc.hero(cv, y, p)
	y += p.hero
	sc.shout(cv, y, p, a)
	y += p.shout
	sc.sentence(cv, y, p.sentence, a)
	y += p.sentence
	if p.timeBelow {
		sc.timeBelow(cv, 1, y, cv.w-2, p.chart, p.heroScale)
	} else {
		sc.lower(cv, y, p.chart)
	}
	y += max(p.chart, 0)
	if sc.strip != nil {
		sc.strip(cv, y)
	}
	sc.footer(cv, h-1)
	return cv
}

// leastPanel is the fewest rows in which a page says what it has to say.
const leastPanel = 7

// crowded gives a page the room of the great figures, whose contents shrink to
// a line of words.
func (sc *scene) crowded(cv *canvas, y, h int, a act) {
	s := ""
	if sc.snap.Advice.HasNow {
		s = temp(sc.snap.Advice.Now, sc.unit) + "  "
		if sc.readingOld() {
			s = "old " + s
		}
	}
	st := [...]style{strong, doAct, alarmAct}[a.level]
	cv.text(1, y, st, s+a.shout)
	if f := sc.snap.Advice.Forecast; f.Ok() {
		r := remainingOf(f)
		cv.right(cv.w-1, y, left, r.figures()+" "+r.unit)
	}
	end := h - 1
	if sc.strip != nil {
		end -= 2
		sc.strip(cv, end)
	}
	sc.panel.draw(sc, cv, 0, y+1, cv.w, end-y-1)
	sc.footer(cv, h-1)
}

// lower draws the panel or the charts.
func (sc *scene) lower(cv *canvas, y, rows int) {
	if sc.panel != nil {
		sc.panel.draw(sc, cv, 0, y, cv.w, rows)
		return
	}
	if sc.hist == nil || rows < 4 {
		return
	}
	now := sc.snap.At
	if sc.snap.Ended {
		now = min(now, sc.hist.End())
	}
	ch := newChart(sc.hist, sc.snap.Advice, sc.cfg.Fold, sc.unit, now)
	ch.ghosts = sc.ghosts
	if cv.w >= 110 {
		whole := cv.w * 2 / 5
		ch.draw(cv, 0, y, whole, rows)
		ch.close = true
		ch.draw(cv, whole, y, cv.w-whole, rows)
		return
	}
	ch.close = sc.view.isClose(sc.snap.Advice.Phase)
	ch.draw(cv, 0, y, cv.w, rows)
}

func (sc *scene) target() probe.Celsius {
	if sc.snap.Advice.Target != 0 {
		return sc.snap.Advice.Target
	}
	return sc.cfg.Fold.Target
}

func (sc *scene) tooSmall(cv *canvas) {
	a := sc.snap.Advice
	y := 0
	if a.HasNow {
		cv.text(0, y, strong, temp(a.Now, sc.unit))
		y++
	}
	cv.text(0, y, alarmAct, sc.act().shout)
	cv.text(0, y+1, plain, "too small: 40x12")
	cv.text(0, y+2, plain, "is the least")
}

// footer says what happened last, or which keys there are.
func (sc *scene) footer(cv *canvas, y int) {
	if sc.foot != "" {
		st := strong
		cv.text(1, y, st, sc.foot)
		return
	}
	x := 1
	for i, k := range sc.keys {
		s := k.key + " " + k.does
		if x+textWidth(s, cv.ascii) > cv.w-1 {
			break
		}
		if i > 0 && x+textWidth(s, cv.ascii)+2 > cv.w {
			break
		}
		x = cv.text(x, y, keyCap, k.key)
		x = cv.text(x+1, y, faint, k.does) + 2
	}
}

// statusLine names the batch, the phase and the time.
func (sc *scene) statusLine(cv *canvas, y int, notices []notice) int {
	time := clock(sc.snap.At)
	end := cv.w - 1 - len(time)
	x := 1
	if name := Clean(sc.cfg.Name); name != "" && cv.w >= 60 {
		x = cv.textTo(x, y, min(end-12, 1+cv.w/2), strong, name) + 2
	}
	cv.text(end, y, strong, time)
	x = sc.phases(cv, x, y, end-1)
	if cv.h < lowWindow && (len(notices) == 0 || !notices[0].bad) {
		for _, n := range notices {
			if x+2+textWidth(n.text, cv.ascii) < end {
				x = cv.text(x+2, y, tell, n.text)
			}
		}
	}
	return y + 1
}

// phases draws the way of a batch with the place where it stands, or the
// place alone when there is little room.
func (sc *scene) phases(cv *canvas, x, y, end int) int {
	now := sc.snap.Advice.Phase
	all := 0
	for _, n := range phaseNames {
		all += len(n) + 1
	}
	if end-x < all+2 {
		return cv.textTo(x, y, end, keyCap, "["+phaseName(now)+"]")
	}
	for i, n := range phaseNames {
		switch {
		case plateau.Phase(i) == now:
			x = cv.text(x, y, keyCap, "["+n+"]")
		case plateau.Phase(i) < now:
			x = cv.text(x, y, plain, n)
		default:
			x = cv.text(x, y, faint, n)
		}
		if i+1 < len(phaseNames) {
			x = cv.text(x, y, faint, " ")
		}
	}
	return x
}

// half is half a second: the screen inverts no more often than that.
const half = 500 * time.Millisecond
