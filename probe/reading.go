package probe

import "time"

// Reading is one temperature as the probe gave it, before any calibration.
//
// At is the time since the batch began, stamped once, where the reading
// arrived. C means nothing when Fault is not [FaultNone], except that a fault
// found by the fold keeps the value it doubted.
type Reading struct {
	At    time.Duration
	C     Celsius
	Fault Fault
}

// Rounded returns the reading as it is stored: milliseconds and thousandths
// of a degree. Live, recording and replay all step the rounded reading, or a
// replay would drift from the cook it replays.
func (r Reading) Rounded() Reading {
	r.At = r.At.Round(time.Millisecond)
	r.C = r.C.Rounded()
	return r
}
