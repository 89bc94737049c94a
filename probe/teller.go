package probe

import "time"

// Teller tells of a link as it comes and goes, for the sources: a loss once,
// with the gap's first reading, and again only when its reason changes.
type Teller struct {
	Now  func() time.Duration
	Emit func(Event)

	down bool
	told string
}

// Up tells that the probe answers. Note may be "".
func (t *Teller) Up(note string) {
	t.down, t.told = false, ""
	t.Emit(Event{Link: LinkUp, Note: note})
}

// Lost tells that the probe cannot be reached, and why.
func (t *Teller) Lost(note string) {
	again := t.down
	if again && note == t.told {
		return
	}
	t.down, t.told = true, note
	if again {
		t.Emit(Event{Note: note})
		return
	}
	t.Emit(Event{
		Reading: Reading{At: t.Now(), Fault: FaultGone}, HasReading: true,
		Link: LinkLost, Note: note,
	})
}
