package ui

import (
	"time"

	"boildown/plateau"
)

// A Tape is a recorded batch as the replay screen needs it. Its methods are
// called one at a time from a goroutine of the screen's.
type Tape interface {
	// Config is what the fold was started with.
	Config() plateau.Config
	// End is the time of the last input.
	End() time.Duration
	// Seek folds to the last input at or before at, forwards from where it
	// stands or from a checkpoint, and returns what the fold said there.
	Seek(at time.Duration) plateau.Advice
	// Each folds the batch from its beginning, apart from where Seek stands.
	Each(yield func(plateau.Input, plateau.Advice) bool)
	// Recorded yields the prompts that the cook was shown at the time, in order.
	Recorded(yield func(at time.Duration, p plateau.Prompt, text string) bool)
}
