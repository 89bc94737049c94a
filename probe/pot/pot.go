package pot

import (
	"math/rand/v2"
	"time"

	"boildown/probe"
)

// step is the grid on which the pot is computed. All times are rounded down to
// it, so that a pot does not depend on how often it is looked at.
const (
	step        = 100 * time.Millisecond
	stepSeconds = 0.1
)

// Pot is the simulated pot. It is not safe for concurrent use.
type Pot struct {
	cfg Config
	tab *table
	now time.Duration

	// the hob
	on, off   bool    // the heat is on; the pot stands off the hob
	level     float64 // 0–1
	lastLevel float64 // before the last change of heat, for undo
	hobW      float64
	hobShare  float64
	lid       bool

	// temperatures, °C
	base, contents, crystalC float64

	// the contents, g
	crystals, liquid, lumps float64 // sugar: dry, molten or dissolved, seized
	water, fat              float64
	milk, protein, ash      float64 // milk solids and all else dissolved with the cream
	milkMol                 float64
	inverted                float64 // share of the liquid sugar that is split in two

	// the cream that is still in the jug
	jug     float64 // share of Config.Cream, 0–1
	pouring bool
	hurry   bool
	portion float64 // g of this portion still to pour
	flow    float64 // g/s of it; 0 as fast as the jug gives
	unmixed float64 // g of cream poured in the last half minute
	nextAt  time.Duration

	boiling bool
	boilers float64 // g/s boiled off, for the look and the noise
	browned float64 // seconds' worth of browning at 170 °C

	sums  sums
	probe sensor
}

// sums is the book of what went in and out since the start.
type sums struct {
	inJ, lostJ, steamJ float64
	steamG             float64
}

// New returns the pot of cfg at time 0: cold and with the heat off, or boiling
// with the heat on when StartsBoil is set.
func New(cfg Config) *Pot {
	p := &Pot{
		cfg: cfg, tab: newTable(cfg.Curve, cfg.PressurePa),
		level: cfg.Level, lastLevel: cfg.Level, hobShare: decay(cfg.HobLag.Seconds()),
		base: cfg.Room, contents: cfg.Room, crystalC: cfg.Room,
		crystals: cfg.Melt.Solutes, water: cfg.Melt.Water, fat: cfg.Melt.Fat,
		jug: 1, inverted: cfg.Inverted,
	}
	if cfg.Cream.Mass() <= 0 {
		p.jug = 0
	}
	if cfg.StartsBoil {
		p.liquid, p.crystals = p.crystals, 0
		p.add(1)
		p.on, p.hobW = true, cfg.Watts*cfg.Level
		p.contents, _ = p.tab.boils(p.fraction())
		p.base = p.contents + p.hobW/cfg.BaseWK
		p.crystalC = p.contents
		p.boiling = true
	}
	p.probe = newSensor(cfg, p.contents, rand.NewPCG(cfg.Seed, 0x626f696c))
	return p
}

// add moves a share of all the cream from the jug into the pot's masses.
func (p *Pot) add(share float64) {
	share = min(share, p.jug)
	p.jug -= share
	if p.jug < 1e-9 {
		p.jug = 0
	}
	c := p.cfg.Cream
	p.water += c.Water * share
	p.fat += c.Fat * share
	p.milk += c.Solutes * share
	p.protein += c.Protein * share
	p.ash += c.Ash * share
	mol := c.MolG
	if mol == 0 {
		mol = sucroseMolG
	}
	p.milkMol += c.Solutes * share / mol
}

// Advance lets the pot run until the given time since its start. A time in
// the past does nothing.
func (p *Pot) Advance(to time.Duration) {
	for p.now+step <= to {
		p.step()
	}
}

// step moves the pot on by one step of the grid.
func (p *Pot) step() {
	p.now += step
	p.pour()
	p.heat()
	p.age()
	if !p.probe.blind {
		p.probe.step(p)
	}
}

// Now returns how long the pot has run.
func (p *Pot) Now() time.Duration { return p.now }

// True returns the temperature of the pot's contents in °C.
func (p *Pot) True() probe.Celsius { return probe.Celsius(p.contents) }

// WaterBoils returns where plain water boils beside this pot, °C.
func (p *Pot) WaterBoils() probe.Celsius { return probe.Celsius(p.tab.water) }

// BoilingPoint returns where the contents boil, or would, °C.
func (p *Pot) BoilingPoint() probe.Celsius {
	b, _ := p.tab.boils(p.fraction())
	return probe.Celsius(b)
}

// Boiling reports whether the whole pot boils.
func (p *Pot) Boiling() bool { return p.boiling }

// OnHeat reports whether the pot stands on the hob with the heat on.
func (p *Pot) OnHeat() bool { return p.on && !p.off }

// Read returns what the probe shows now, with its lag, noise and faults.
func (p *Pot) Read() probe.Reading { return p.probe.read(p) }

// Clone returns a pot that runs on by itself from the same state: the same
// physics and the same chance.
func (p *Pot) Clone() *Pot {
	q := *p
	q.probe = p.probe.clone()
	return &q
}

// Arrival returns when the contents, as a faultless and prompt probe with this
// one's offset would show them, reach shown, if the heat stays as it is and
// nobody touches the pot. It reports false when that does not happen within
// the given time from now. The pot itself stays where it is.
func (p *Pot) Arrival(shown probe.Celsius, within time.Duration) (at time.Duration, ok bool) {
	q := *p
	q.probe.blind = true
	want := float64(shown) - float64(p.cfg.Probe.Offset)
	for q.now < p.now+within {
		before := q.contents
		if before >= want {
			return q.now, true
		}
		q.step()
		if q.contents >= want {
			part := (want - before) / (q.contents - before)
			return q.now - step + time.Duration(part*float64(step)), true
		}
	}
	return 0, false
}
