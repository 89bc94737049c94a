package probe

import (
	"fmt"
	"time"
	"unicode/utf8"
)

// QuietTime is how long a source may go without a reading before it tells the
// cook.
const QuietTime = 5 * time.Second

// garbledEvery is how often garbled lines are handed on at most while nothing
// else comes: at a wrong speed they come by the hundred.
const garbledEvery = 250 * time.Millisecond

// rawMax bounds [Event.Raw], in bytes.
const rawMax = 200

// Intake turns the bytes of a line-printing probe into events. It owns no
// clock and no port; whoever reads the bytes says when they came. The sources
// for serial lines and for standard input share it.
type Intake struct {
	Format Format
	Name   string // of the source in notes, such as "/dev/ttyUSB0"
	Remedy string // against bytes that are no text, such as "set its speed with --baud"

	framer  Framer
	power   PowerOnWatch
	last    time.Duration // of the last reading, or of the link's start
	bytes   int           // since then
	strange int           // of them no text
	sample  string        // the last line since then
	muteTo  time.Duration // until then garbled lines are not handed on
	told    bool
}

// Begin starts anew on a link that has just come up. With torn set the stream
// may be joined in the middle of a line, and what comes before the first line
// end is thrown away.
func (in *Intake) Begin(at time.Duration, torn bool) {
	in.framer = Framer{dropped: in.framer.dropped}
	if torn {
		in.framer.Resync()
	}
	in.read(at)
}

// Feed takes in bytes that came at a time and emits what they hold.
func (in *Intake) Feed(chunk []byte, at time.Duration, emit func(Event)) {
	in.bytes += len(chunk)
	for _, b := range chunk {
		if b >= utf8.RuneSelf || b < ' ' && b != '\r' && b != '\n' && b != '\t' && b != 0x1b {
			in.strange++
		}
	}
	in.framer.Feed(chunk, func(line string) { in.line(line, at, emit) })
}

func (in *Intake) line(line string, at time.Duration, emit func(Event)) {
	raw := Printable(line[:min(len(line), rawMax)])
	c, fault := in.Format.Parse(line)
	if fault == FaultNone {
		fault = in.power.Check(c)
	}
	in.sample = raw
	switch fault {
	case FaultEmpty:
		return
	case FaultGarbled:
		if at < in.muteTo {
			return
		}
		in.muteTo = at + garbledEvery
	default:
		in.read(at)
		in.muteTo = 0
	}
	emit(Event{Reading: Reading{At: at, C: c, Fault: fault}, HasReading: true, Raw: raw})
}

// read notes that the probe has spoken plainly.
func (in *Intake) read(at time.Duration) {
	in.last, in.bytes, in.strange, in.sample, in.told = at, 0, 0, "", false
}

// Tick lets time pass without bytes: after [QuietTime] with no reading it
// emits one note that says what came instead and what to do.
func (in *Intake) Tick(at time.Duration, emit func(Event)) {
	if in.told || at-in.last < QuietTime {
		return
	}
	in.told = true
	emit(Event{Note: in.complaint()})
}

func (in *Intake) complaint() string {
	switch {
	case in.bytes == 0:
		return fmt.Sprintf("nothing has come from %s for %.0f s: see that the probe is switched on and plugged in at both ends, and that this is its port (\"boildown probes\" lists them)",
			in.Name, QuietTime.Seconds())
	case in.strange*4 > in.bytes, in.sample == "":
		return fmt.Sprintf("%s sends bytes but no readable line: %s", in.Name, in.Remedy)
	}
	return fmt.Sprintf("%s prints lines, but none that plainly holds one temperature, such as %q: \"boildown probes\" shows which field or key to choose",
		in.Name, in.sample)
}

// Dropped returns the number of bytes that were thrown away as no part of a
// whole line.
func (in *Intake) Dropped() int64 { return in.framer.Dropped() }
