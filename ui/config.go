package ui

import (
	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

// Theme chooses the colours. The zero value is for a dark background.
type Theme uint8

// The themes.
const (
	Dark  Theme = iota
	Light       // for a light background
	Plain       // no colour; bold and reverse video remain
)

// Depth is how many colours the terminal can show.
type Depth uint8

// The depths. Auto asks the terminal library, which reads the environment.
const (
	Auto      Depth = iota
	NoStyle         // neither colour nor bold nor reverse: bare text
	NoColour        // bold and reverse video alone, as NO_COLOR wants
	Colour16        // the 16 ANSI colours
	Colour256       // the 256-colour palette
)

// Config is what the screens are told once. The zero value is usable: °C, dark
// theme, five redraws a second.
type Config struct {
	Name      string                       // batch or recipe name, from outside
	Unit      probe.Unit                   // the scale to begin with
	Theme     Theme                        // the colours
	Depth     Depth                        // how many of them
	ASCII     bool                         // the locale has no UTF-8: draw with ASCII alone
	Rate      int                          // redraws a second, 4–10; 0 is read as 5
	Fold      plateau.Config               // what the fold was started with: dip window, near alert, pressure, calibration
	Target    string                       // where the target comes from, in words
	Offset    string                       // where a calibration is in use, how it came about, in words
	Habits    string                       // what the pull was told from past batches, in words; "" for nothing
	TestAlert func() error                 // raises the alarm once, for the test screen; nil where there is none
	Align     sessions.Align               // the moment that a comparison begins with
	Review    func() sessions.Verdict      // where the batch went wrong, for a replay's summary; nil for none
	Outcome   func(sessions.Outcome) error // keeps how a batch came out; nil where that is not possible
	Next      func()                       // asks for the next batch on the same recipe, before the screen ends; nil for none
	SetQuiet  func(bool)                   // turns alarms off and on; nil where that is not possible
}

func (c Config) rate() int {
	if c.Rate == 0 {
		return 5
	}
	return min(max(c.Rate, 1), 10)
}
