package ui

// helpPanel is a page of keys.
type helpPanel []hint

var liveHelp = helpPanel{
	{"SPACE", "does what the line above asks"},
	{"Enter h", "I have heard this alarm"},
	{"z", "take back the last mark"},
	{"l", "mark something late"},
	{"t", "another target"},
	{"n  a", "note; something added"},
	{"w  f", "whole or close chart; °F or °C"},
	{"y", "try the alarm, alarms off"},
	{"q", "end the batch (asks first)"},
}

// draw shows the marks' keys and the others side by side where there is room.
func (p helpPanel) draw(_ *scene, cv *canvas, x, y, w, h int) {
	keyCols := 8
	if w < 76 {
		half := (len(p) + 1) / 2
		if h >= len(p)+1 {
			half = len(p)
		}
		for i, k := range p[:min(half, h)] {
			cv.text(x+1, y+i, keyCap, k.key)
			cv.textTo(x+1+keyCols, y+i, x+w, plain, k.does)
		}
		if half < h {
			drawMarkKeys(cv, x, y+half, w, h-half)
		}
		return
	}
	for i, k := range p {
		if i >= h {
			break
		}
		cv.text(x+1, y+i, keyCap, k.key)
		cv.textTo(x+1+keyCols, y+i, x+w/2, plain, k.does)
	}
	drawMarkKeys(cv, x+w/2, y, w/2, h)
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
	for i, k := range p {
		cx, cy := x+i/h*wide, y+i%h
		cv.textTo(cx+1, cy, cx+wide, keyCap, k.key)
		cv.textTo(cx+12, cy, cx+wide, plain, k.does)
	}
}

// drawMarkKeys lists the marks in as many columns as they need.
func drawMarkKeys(cv *canvas, x, y, w, h int) {
	if h < 1 {
		return
	}
	per := (len(markKeys) + h - 1) / h
	wide := w / per
	for i, k := range markKeys {
		cx, cy := x+i/h*wide, y+i%h
		end := cv.text(cx+1, cy, keyCap, k.key)
		label := k.label
		if wide < 30 {
			label = k.short
		}
		cv.textTo(end+1, cy, cx+wide, plain, label)
	}
}
