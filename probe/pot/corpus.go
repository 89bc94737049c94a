package pot

import (
	"math"
	"math/rand/v2"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// Kind is what sort of cook a [Hard] one is.
type Kind uint8

// The kinds. All but the first two never reach their target.
const (
	Whole     Kind = iota // from dry sugar to the pull
	LateStart             // the program is started when the pot boils already
	Water                 // plain water
	DrySugar              // sugar alone, no cream
	OffHeat               // the pot stands off the heat after the cream
	Below                 // the target lies below the pot's temperature
	Endless               // the heat does no more than keep the pot warm
	kindCount
)

var kindWords = [kindCount]string{"whole", "late-start", "water", "dry-sugar", "off-heat", "below", "endless"}

// String returns the kind's word.
func (k Kind) String() string {
	if k >= kindCount {
		return "unknown"
	}
	return kindWords[k]
}

// Arrives reports whether cooks of this kind can reach their target.
func (k Kind) Arrives() bool { return k == Whole || k == LateStart }

// Turn is something done to the heat, so long after the whole pot boils.
type Turn struct {
	After time.Duration
	Level float64 // the new heat, 0–1; not used when Lid is told
	Lid   int     // 1 puts the lid on, −1 takes it off, 0 turns the knob
}

// Told is what the program is told of a cook. The rest it must find out.
type Told struct {
	PressurePa  float64 // 0 when it is not told
	Calibration probe.Calibration
	Lag         time.Duration
	Reaction    time.Duration // 0 when it is not told
	CarryOver   bool          // whether it is told how far the pot will go on rising
	Recipe      bool
	Marks       bool // the cook marks melt, cream and pull
	HeatMarks   bool // and each turn of the knob; a lid is never marked
}

// Hard is one cook of the corpus.
type Hard struct {
	N        int // its number
	Kind     Kind
	Config   Config
	Told     Told
	Target   probe.Celsius // on the scale of the probe as calibrated
	Turns    []Turn
	Reaction time.Duration // the cook's own
	Careful  bool          // a cook who calibrates: see [Hard.Calibrated]
}

// Residual is what the probe reads too high after the calibration that the
// program is told.
func (h Hard) Residual() probe.Delta { return h.Config.Probe.Offset + h.Told.Calibration.Offset }

// Shown returns the target as the raw probe would show it.
func (h Hard) Shown() probe.Celsius { return h.Target - probe.Celsius(h.Told.Calibration.Offset) }

// Calibrated reports whether the cook is of the calibrated slice: the probe
// right to 0.3 K, the pressure known to 0.5 kPa, the recommended curve, noise
// to 0.1 K and steps to 0.1 K.
func (h Hard) Calibrated() bool {
	c := h.Config
	return math.Abs(float64(h.Residual())) <= 0.3 &&
		math.Abs(h.Told.PressurePa-c.PressurePa) <= 500 &&
		c.Curve == syrup.StarzakPeacock && c.Probe.Noise <= 0.1 && !h.Coarse()
}

// Coarse reports whether the probe's steps are over 0.1 K.
func (h Hard) Coarse() bool { return h.Config.Probe.Step > 0.1 }

// HardCook draws cook n of the corpus of a seed. Each is drawn by itself, so
// cook n is the same in a corpus of any size.
func HardCook(seed uint64, n int) Hard {
	d := draw{rand.New(rand.NewPCG(seed, uint64(n)))}
	for {
		h := Hard{N: n, Kind: d.kind(), Careful: d.chance(0.4), Reaction: 2 * time.Second}
		d.batch(&h)
		d.air(&h)
		d.stove(&h)
		d.probe(&h)
		d.program(&h)
		d.target(&h)
		if d.turns(&h); h.plausible() {
			h.Config.Seed = d.Uint64()
			return h
		}
	}
}

// plausible reports whether somebody would cook this: enough water is still
// there when the last cream is in, it takes from three minutes to an hour to
// boil off, and the base is less than 60 K hotter than the syrup.
func (h Hard) plausible() bool {
	if !h.Kind.Arrives() {
		return true
	}
	c := h.Config
	m := c.Melt.Add(c.Cream)
	goal := m.WaterAt(float64(h.Target), c.PressurePa)
	if math.IsInf(goal, 0) || math.IsNaN(goal) {
		return false
	}
	water := m.Water
	if !c.StartsBoil {
		pouring := c.Cream.Mass() / c.PortionG * c.PortionGap.Seconds()
		water -= h.netWatts() * pouring / 2250
	}
	s := (water - goal) * 2250 / h.netWatts()
	return water > 1.8*goal && s >= 180 && s <= 3600 && c.Watts*c.Level/c.BaseWK < 60
}

// netWatts is the power left at the boil when losses are paid.
func (h Hard) netWatts() float64 {
	c := h.Config
	return c.Watts*c.Level - c.LossWK*(105-c.Room)
}

// PullCook draws cook n of those that are only about the pull: the pot boils,
// the program is told lag, reaction and carry-over, and the probe is fine.
func PullCook(seed uint64, n int) Hard {
	for sub := uint64(0); ; sub++ {
		h := HardCook(seed^0x70756c6c, n*64+int(sub%64))
		if h.Kind.Arrives() && !h.Coarse() {
			h.N = n
			h.Told.Lag, h.Told.Reaction, h.Told.CarryOver = h.Config.Probe.Lag, h.Reaction, true
			return h
		}
	}
}
