package ui

import (
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// Snapshot is the state of a running batch at one moment. It is a value:
// whoever makes it may go on working while the screen draws.
type Snapshot struct {
	At        time.Duration  // batch clock now, which runs on while readings are silent
	Advice    plateau.Advice // what the fold said last
	Silent    time.Duration  // since the last line came from the probe
	Linked    bool           // the link to the probe stands
	Note      string         // one sentence about the probe or its link, with the remedy, from outside
	Sides     []Side         // the other channels, in the order in which they were named
	Aside     string         // one sentence about something else that is not as it should be, such as the broker
	Recording bool           // the batch is being kept
	Unsynced  time.Duration  // age of the oldest input that is not yet on the disk
	RecordErr string         // why the record has stopped, from outside; "" when it has not
	Quiet     bool           // alarms are turned off
	Demo      bool           // the pot is simulated
	Speed     float64        // how much faster than life the batch clock runs; 0 is read as 1
	Ended     bool           // the source has ended: nothing more will come
}

// Side is another channel than the pot's: the room, a second pot.
type Side struct {
	Name  string // from outside
	C     probe.Celsius
	Fault probe.Fault
}

// Words is the channel in small print.
func (s Side) Words(u probe.Unit) string {
	if s.Fault != probe.FaultNone {
		return Clean(s.Name) + " " + s.Fault.String()
	}
	return Clean(s.Name) + " " + temp(s.C, u)
}

// A Feed gives the screen the newest [Snapshot]. It is called from a goroutine
// of the screen's, as often as the screen draws, and must not block.
type Feed interface {
	Snapshot() Snapshot
}

// A Teller takes what the cook says: marks, acknowledgements, undo, another
// target. The receiver stamps At. Inputs come in the order in which they were
// pressed, one call at a time, from a goroutine of the screen's.
type Teller interface {
	Tell(in plateau.Input)
}
