package plateau

import (
	"time"

	"boildown/probe"
)

// Kind says what an [Input] is.
type Kind uint8

// Everything that the fold can be told.
const (
	Measured     Kind = iota // a reading: C, Fault
	Silent                   // 5 s have passed without a line
	Marked                   // the cook pressed a mark: Mark, Ago, Text
	Retargeted               // the cook wants another endpoint: Target
	Acknowledged             // the cook has heard the alarm that stands
	Undone                   // the last mark was a mistake
	Resumed                  // recording goes on after a break
	kindCount
)

// Input is one thing told to the fold, in the order in which it was stored.
type Input struct {
	Kind   Kind
	At     time.Duration // since the batch began, ms resolution, never less than the input before it
	C      probe.Celsius // Measured: the raw reading
	Fault  probe.Fault   // Measured: why C is not to be used
	Mark   Mark          // Marked
	Ago    time.Duration // Marked: how long before At it happened; 0 or more
	Target probe.Celsius // Retargeted
	Text   string        // Marked: what was added, or the note
}

// Reading makes the input of one reading, rounded as it is stored.
func Reading(r probe.Reading) Input {
	r = r.Rounded()
	return Input{Kind: Measured, At: r.At, C: r.C, Fault: r.Fault}
}
