package ui

import (
	"strconv"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// style is a role, not a colour.
type style uint8

const (
	plain     style = iota
	faint           // small print, axes
	strong          // small print that matters
	heat            // the temperature in large figures
	stale           // the same when it is old or doubted
	left            // the time left in large figures
	calmAct         // the loud line when nothing is asked
	doAct           // the loud line when something is asked
	alarmAct        // the loud line when it is late
	warn            // a notice that something is not as it should be
	tell            // a notice that is merely to be known
	keyCap          // the name of a key
	track           // the line of the readings
	goal            // the target line
	ahead           // the forecast's line
	spread          // the forecast's interval
	stallBand       // where the pot stood still
	dipBand         // the dip window
	mark            // marks of the cook's
	asked           // prompts on the chart
	doubted         // doubted readings
	field           // a text field
	styleCount
)

// look is how a role is drawn at each depth. Colours are indexes of the
// 256-colour palette; -1 is the terminal's own.
type look struct {
	fg, bg       int // 256 colours
	fg16, bg16   int // 16 colours
	bold, invert bool
}

const none = -1

// Sand, sky and plum differ in lightness as well as in hue, so they stay
// apart for eyes that do not tell red from green.
var darkLooks = [styleCount]look{
	plain:     {fg: none, bg: none, fg16: none, bg16: none},
	faint:     {fg: 245, bg: none, fg16: none, bg16: none},
	strong:    {fg: none, bg: none, fg16: none, bg16: none, bold: true},
	heat:      {fg: 230, bg: none, fg16: 15, bg16: none, bold: true},
	stale:     {fg: 250, bg: none, fg16: 7, bg16: none},
	left:      {fg: 153, bg: none, fg16: 14, bg16: none, bold: true},
	calmAct:   {fg: 180, bg: none, fg16: none, bg16: none, bold: true},
	doAct:     {fg: 16, bg: 222, fg16: 0, bg16: 3, bold: true},
	alarmAct:  {fg: 231, bg: 160, fg16: 15, bg16: 1, bold: true},
	warn:      {fg: 16, bg: 215, fg16: 0, bg16: 3, bold: true},
	tell:      {fg: 250, bg: 237, fg16: none, bg16: none},
	keyCap:    {fg: 222, bg: none, fg16: 3, bg16: none, bold: true},
	track:     {fg: 230, bg: none, fg16: 15, bg16: none, bold: true},
	goal:      {fg: 219, bg: none, fg16: 13, bg16: none, bold: true},
	ahead:     {fg: 153, bg: none, fg16: 14, bg16: none, bold: true},
	spread:    {fg: 67, bg: none, fg16: 6, bg16: none},
	stallBand: {fg: 95, bg: none, fg16: 3, bg16: none},
	dipBand:   {fg: 66, bg: none, fg16: 6, bg16: none},
	mark:      {fg: 222, bg: none, fg16: 3, bg16: none},
	asked:     {fg: 250, bg: none, fg16: none, bg16: none},
	doubted:   {fg: 215, bg: none, fg16: 3, bg16: none, bold: true},
	field:     {fg: none, bg: none, fg16: none, bg16: none, invert: true},
}

var lightLooks = [styleCount]look{
	plain:     {fg: none, bg: none, fg16: none, bg16: none},
	faint:     {fg: 242, bg: none, fg16: none, bg16: none},
	strong:    {fg: none, bg: none, fg16: none, bg16: none, bold: true},
	heat:      {fg: 16, bg: none, fg16: 0, bg16: none, bold: true},
	stale:     {fg: 244, bg: none, fg16: none, bg16: none},
	left:      {fg: 24, bg: none, fg16: 4, bg16: none, bold: true},
	calmAct:   {fg: 94, bg: none, fg16: none, bg16: none, bold: true},
	doAct:     {fg: 231, bg: 94, fg16: 15, bg16: 0, bold: true},
	alarmAct:  {fg: 231, bg: 160, fg16: 15, bg16: 1, bold: true},
	warn:      {fg: 231, bg: 130, fg16: 15, bg16: 0, bold: true},
	tell:      {fg: 236, bg: 254, fg16: none, bg16: none},
	keyCap:    {fg: 94, bg: none, fg16: none, bg16: none, bold: true},
	track:     {fg: 16, bg: none, fg16: 0, bg16: none, bold: true},
	goal:      {fg: 127, bg: none, fg16: 5, bg16: none, bold: true},
	ahead:     {fg: 24, bg: none, fg16: 4, bg16: none, bold: true},
	spread:    {fg: 67, bg: none, fg16: 4, bg16: none},
	stallBand: {fg: 180, bg: none, fg16: none, bg16: none},
	dipBand:   {fg: 109, bg: none, fg16: 6, bg16: none},
	mark:      {fg: 94, bg: none, fg16: none, bg16: none},
	asked:     {fg: 240, bg: none, fg16: none, bg16: none},
	doubted:   {fg: 130, bg: none, fg16: 1, bg16: none, bold: true},
	field:     {fg: none, bg: none, fg16: none, bg16: none, invert: true},
}

// filled are the roles that stand out by a filled background. Without colour
// reverse video does the filling.
func filled(s style) bool {
	return s == doAct || s == alarmAct || s == warn
}

// palette holds the escape sequence of each role, upright and inverted.
type palette struct {
	on, inverted [styleCount]string
}

func newPalette(t Theme, d Depth) *palette {
	if d == Auto {
		d = detect()
	}
	if t == Plain && d > NoColour {
		d = NoColour
	}
	looks := &darkLooks
	if t == Light {
		looks = &lightLooks
	}
	p := new(palette)
	for s := range styleCount {
		l := looks[s]
		if d == NoColour {
			l.invert = l.invert || filled(s)
		}
		p.on[s] = l.code(d)
		p.inverted[s] = l.inverse(s).code(d)
	}
	return p
}

// inverse is the look on the inverted screen: one even ground under
// everything, on which colours would only be spots.
func (l look) inverse(s style) look {
	if filled(s) {
		l.invert = !l.invert
		return l
	}
	return look{fg: none, bg: none, fg16: none, bg16: none, bold: l.bold, invert: s != field}
}

// detect asks the terminal library how much colour there is. It reports none
// both for NO_COLOR, which allows bold and reverse, and for a terminal that
// knows no escapes at all, where they are ignored at worst.
func detect() Depth {
	switch lipgloss.ColorProfile() {
	case termenv.TrueColor, termenv.ANSI256:
		return Colour256
	case termenv.ANSI:
		return Colour16
	}
	return NoColour
}

func (l look) code(d Depth) string {
	if d == NoStyle {
		return ""
	}
	s := ""
	if l.bold {
		s += ";1"
	}
	if l.invert {
		s += ";7"
	}
	switch d {
	case Colour256:
		s += colour256(38, l.fg) + colour256(48, l.bg)
	case Colour16:
		s += colour16(30, l.fg16) + colour16(40, l.bg16)
	}
	if s == "" {
		return ""
	}
	return "\x1b[" + s[1:] + "m"
}

func colour256(base, n int) string {
	if n == none {
		return ""
	}
	return ";" + strconv.Itoa(base) + ";5;" + strconv.Itoa(n)
}

func colour16(base, n int) string {
	switch {
	case n == none:
		return ""
	case n >= 8:
		return ";" + strconv.Itoa(base+60+n-8)
	}
	return ";" + strconv.Itoa(base+n)
}
