package plateau_test

import (
	"testing"
	"time"

	"boildown/plateau"
)

// A note before each reading, as a table with a word in every row has it, must
// change no phase and no prompt.
func TestNote_beforeEachReadingChangesNothing(t *testing.T) {
	for _, every := range []time.Duration{time.Second, 250 * time.Millisecond} {
		cfg, ins := batchInputs(every)
		bare, noted := plateau.Start(cfg), plateau.Start(cfg)
		seen := plateau.Prompts(0)
		for _, in := range ins {
			var want, mark, got plateau.Advice
			bare, want = plateau.Step(bare, in)
			if in.Kind == plateau.Measured {
				noted, mark = plateau.Step(noted, plateau.Input{Kind: plateau.Marked, At: in.At, Mark: plateau.MarkNote})
			}
			noted, got = plateau.Step(noted, in)
			if began := mark.Began | got.Began; got.Phase != want.Phase || began != want.Began {
				t.Fatalf("%v a reading, at %v: %v and %v with notes, %v and %v without", every, in.At, got.Phase, began, want.Phase, want.Began)
			}
			seen |= want.Began
		}
		if !seen.Has(plateau.PullNow) {
			t.Errorf("%v a reading: the batch was never pulled, which proves nothing", every)
		}
	}
}
