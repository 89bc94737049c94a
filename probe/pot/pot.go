package pot

import (
	"time"

	"boildown/probe"
)

// Pot is the simulated pot. It is not safe for concurrent use.
type Pot struct {
	cfg Config
	now time.Duration
}

// New returns the pot of cfg at time 0, cold and with the heat off.
func New(cfg Config) *Pot { return &Pot{cfg: cfg} }

// Advance lets the pot run until the given time since its start. A time in
// the past does nothing.
func (p *Pot) Advance(to time.Duration) { p.now = max(p.now, to) }

// Now returns how long the pot has run.
func (p *Pot) Now() time.Duration { return p.now }

// True returns the temperature of the pot's contents in °C.
func (p *Pot) True() probe.Celsius { return 20 }

// Read returns what the probe shows now, with its lag, noise and faults.
func (p *Pot) Read() probe.Reading { return probe.Reading{At: p.now, C: 20} }

// Clone returns a pot that runs on by itself from the same state.
func (p *Pot) Clone() *Pot { q := *p; return &q }

// Told does what a cook's mark says, by its word in a session file, and
// reports whether the mark moves this pot.
func (p *Pot) Told(word string) bool { return false }

// SetHeat turns the hob to level, 0 to 1.
func (p *Pot) SetHeat(level float64) {}

// Boiling reports whether the whole pot boils.
func (p *Pot) Boiling() bool { return false }
