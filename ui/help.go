package ui

// helpPage is the page of keys. A narrow window has the marks on a second one.
type helpPage struct{ marks bool }

// helpWide is the least width that holds both pages side by side.
const helpWide = 76

var liveHelp = lines{
	{"SPACE", "does what the line above asks"},
	{"Enter h", "I have heard this alarm"},
	{"z  l", "take back a mark; mark it late"},
	{"t", "another target"},
	{"n  a", "note; something added"},
	{"w  f", "whole or close chart; °F/°C"},
	{"y", "try the alarm, alarms off"},
	{"o  x", "over: outcome; next batch"},
	{"q", "end the batch (asks first)"},
}

func (p *helpPage) draw(sc *scene, cv *canvas, x, y, w, h int) {
	switch {
	case w >= helpWide:
		liveHelp.draw(sc, cv, x, y, w/2, h)
		drawMarkKeys(cv, x+w/2, y, w/2, h)
	case p.marks:
		drawMarkKeys(cv, x, y, w, h)
	default:
		liveHelp.draw(sc, cv, x, y, w, h)
	}
}

// lines is a page of keys without the marks.
type lines []hint

// draw uses two columns where one is not enough.
func (p lines) draw(_ *scene, cv *canvas, x, y, w, h int) {
	if h < 1 {
		return
	}
	per := (len(p) + h - 1) / h
	wide := w / per
	keys := 0
	for _, k := range p {
		keys = max(keys, textWidth(k.key, cv.ascii))
	}
	for i, k := range p {
		cx, cy := x+i/h*wide, y+i%h
		cv.textTo(cx+1, cy, cx+wide, keyCap, k.key)
		cv.textTo(cx+keys+2, cy, cx+wide, plain, k.does)
	}
}

// drawMarkKeys lists the marks in as many columns as they need.
func drawMarkKeys(cv *canvas, x, y, w, h int) {
	if h < 1 {
		return
	}
	h = min(h, len(markKeys))
	per := (len(markKeys) + h - 1) / h
	wide := w / per
	for i, k := range markKeys {
		cx, cy := x+i/h*wide, y+i%h
		end := cv.text(cx+1, cy, keyCap, k.key)
		label := k.label
		if wide < 34 {
			label = k.short
		}
		cv.textTo(end+1, cy, cx+wide, plain, label)
	}
}
