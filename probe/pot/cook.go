package pot

import "time"

// Cook is a scripted cook who decides from what can be seen and heard at a
// stove: the reading, the look of the pot, the clock, and the prompts.
type Cook struct {
	Target   float64       // °C on the probe's scale; pulls there if no prompt comes first
	Reaction time.Duration // from a prompt to the hand
}
