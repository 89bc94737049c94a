package pot

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// draw draws the parts of a [Hard] cook.
type draw struct{ *rand.Rand }

func (d draw) chance(p float64) bool          { return d.Float64() < p }
func (d draw) between(lo, hi float64) float64 { return lo + (hi-lo)*d.Float64() }
func (d draw) logBetween(lo, hi float64) float64 {
	return math.Exp(d.between(math.Log(lo), math.Log(hi)))
}

func (d draw) seconds(lo, hi float64) time.Duration {
	return time.Duration(d.logBetween(lo, hi) * float64(time.Second)).Round(step)
}

func (d draw) kind() Kind {
	if u := d.Float64(); u < 0.76 {
		return Whole
	} else if u < 0.84 {
		return LateStart
	}
	return Water + Kind(d.IntN(int(kindCount-Water)))
}

// batch draws what goes into the pot.
func (d draw) batch(h *Hard) {
	c := DefaultConfig()
	sugar := d.logBetween(100, 3000)
	c.Melt = syrup.Mix{Solutes: sugar}
	c.Cream = d.dairy(sugar)
	if d.chance(0.3) {
		glucose, _ := syrup.IngredientFor("glucose syrup")
		c.Cream = c.Cream.Add(glucose.Mix(sugar * d.between(0.05, 0.4)))
	}
	switch h.Kind {
	case Water:
		c.Melt, c.Cream = syrup.Mix{Water: d.logBetween(300, 3000)}, syrup.Mix{}
	case DrySugar:
		c.Cream = syrup.Mix{}
	}
	c.CreamC = d.between(5, 85)
	c.PortionG = c.Cream.Mass() / d.between(6, 16)
	c.PortionGap = d.seconds(8, 30)
	if d.chance(0.2) {
		c.Inverted = d.between(0, 0.1)
		c.InvertHour = d.between(0, 0.1)
	}
	// A bigger batch has a bigger pot: heat capacity by mass, areas by mass^⅔.
	mass := (c.Melt.Mass() + c.Cream.Mass()) / 880
	c.PotJK = 500 * math.Pow(mass, 0.7) * d.between(0.6, 1.5)
	c.BaseJK = c.PotJK * d.between(0.25, 0.5)
	area := math.Pow(mass, 2.0/3)
	c.BaseWK = 35 * area * d.between(0.7, 1.6)
	c.LossWK = 1.5 * area * d.between(0.6, 1.6)
	c.SurfaceG = 0.005 * area * d.between(0.5, 2)
	c.StartsBoil = h.Kind == LateStart
	h.Config = c
}

// dairy draws cream of 30 to 40 % fat, or sometimes milk or condensed milk.
func (d draw) dairy(sugar float64) syrup.Mix {
	g := sugar * d.between(0.6, 1.6)
	switch u := d.Float64(); {
	case u < 0.8:
		return syrup.Cream(d.between(30, 40)).Mix(g)
	case u < 0.9:
		milk, _ := syrup.IngredientFor("milk")
		return milk.Mix(g)
	default:
		milk, _ := syrup.IngredientFor("milk")
		thick, _ := syrup.IngredientFor("condensed milk")
		share := d.between(0.4, 1)
		return thick.Mix(g * share).Add(milk.Mix(g * (1 - share)))
	}
}

// air draws the day's pressure, its height above the sea and the curve by
// which the syrup boils.
func (d draw) air(h *Hard) {
	altitude := d.between(0, 2500)
	if d.chance(0.4) {
		altitude = d.between(0, 200)
	}
	standard := syrup.Pressure(altitude)
	h.Config.PressurePa = standard + d.between(-2000, 2000)
	h.Config.Room = d.between(15, 32)
	h.Config.Curve = syrup.StarzakPeacock
	if h.Careful {
		h.Told.PressurePa = h.Config.PressurePa + d.between(-500, 500)
		return
	}
	if d.chance(0.55) {
		h.Config.Curve = [...]syrup.Curve{syrup.Norrish, syrup.Browne, syrup.CaneSugar}[d.IntN(3)]
	}
	if d.chance(0.5) {
		h.Told.PressurePa = standard // known from the map, which knows no weather
	}
}

// stove draws net power, and a hob that burns steadily or cycles.
func (d draw) stove(h *Hard) {
	c := &h.Config
	net := d.logBetween(250, 1800)
	gross := net + c.LossWK*(105-c.Room)
	c.Level = d.between(0.45, 0.8)
	c.Watts = gross / c.Level
	c.HobLag = d.seconds(1, 30)
	if d.chance(0.3) {
		c.Cycle = d.seconds(5, 60)
		c.HobLag = d.seconds(2, 15)
	}
	if h.Kind == Endless {
		// Enough for the melt; turned down to what the losses take at the boil.
		low := c.LossWK * (105 - c.Room) * d.between(0.5, 1.02)
		h.Turns = append(h.Turns, Turn{After: d.seconds(20, 240), Level: low / c.Watts})
	}
}

// probe draws the thermometer and what befalls it.
func (d draw) probe(h *Hard) {
	p := ProbeConfig{
		Every:  time.Duration(float64(time.Second) / d.logBetween(0.5, 10)).Round(step),
		Lag:    d.seconds(1, 10),
		Offset: probe.Delta(d.between(-1.5, 1.5)),
		Noise:  d.logBetween(0.02, 0.4),
		Dips:   d.between(0, 0.8),
	}
	switch d.IntN(5) {
	case 0:
		p.Step = 0.0625
	case 1:
		p.Step = 0.1
	case 2:
		p.Step = 0.5
	case 3:
		p.Step = 1
	case 4:
		p.Step, p.Unit = 1, probe.UnitF
	}
	if h.Careful {
		p.Offset = probe.Delta(d.between(-0.3, 0.3))
		p.Noise = d.logBetween(0.02, 0.1)
		p.Step = [...]float64{0.0625, 0.1}[d.IntN(2)]
		p.Unit = probe.UnitC
	}
	if d.chance(0.4) {
		p.Spikes, p.Dropouts, p.Lifts = d.between(0, 0.5), d.between(0, 0.5), d.between(0, 0.15)
	}
	h.Config.Probe = p
}

// program draws what the program is told.
func (d draw) program(h *Hard) {
	t := &h.Told
	t.Lag = h.Config.Probe.Lag
	if d.chance(0.4) && !h.Careful {
		t.Lag = 3 * time.Second // a guess
	}
	if d.chance(0.5) {
		t.Reaction = h.Reaction
	}
	t.Recipe = d.chance(0.5)
	t.Marks = h.Kind != LateStart && d.chance(0.65)
	t.HeatMarks = d.chance(0.6) && (t.Marks || h.Kind == LateStart)
	offset := h.Config.Probe.Offset
	if h.Careful {
		if d.chance(0.5) { // a raw probe that needed a calibration, which is right to 0.3 K
			h.Config.Probe.Offset = probe.Delta(d.between(-1.5, 1.5))
			t.Calibration = probe.Calibration{Gain: 1, Offset: offset - h.Config.Probe.Offset}
		}
		return
	}
	if d.chance(0.25) {
		// Water was boiled, and what the probe showed stands for the pressure:
		// it takes in the day's weather and the probe's error together.
		shown := syrup.WaterBoils(h.Config.PressurePa) + float64(offset) + 0.05*d.NormFloat64()
		t.PressurePa = syrup.SaturationPressure(shown)
	}
}

// target draws an endpoint between thread and firm ball.
func (d draw) target(h *Hard) {
	seaLevel := float64(probe.Fahrenheit(d.between(229, 249)))
	h.Target = probe.Celsius(syrup.ShiftTarget(seaLevel, h.Config.PressurePa))
	if h.Kind == Below {
		h.Target = probe.Celsius(syrup.WaterBoils(h.Config.PressurePa) - d.between(2, 12))
		h.Config.StartsBoil = true
		h.Told.Marks = false
	}
}

// turns draws one to three turns of the knob, and sometimes a lid.
func (d draw) turns(h *Hard) {
	if h.Kind != Whole && h.Kind != LateStart && h.Kind != Below {
		return
	}
	boil := (h.Config.Melt.Water + h.Config.Cream.Water) * 0.7 * 2250 / max(h.netWatts(), 50)
	if d.chance(0.6) {
		at, first := 0.0, h.netWatts()
		net := first
		for range 1 + d.IntN(3) {
			at += d.between(0.15, 0.6) * boil
			if d.chance(0.7) {
				net *= d.between(0.45, 0.85)
			} else {
				net *= d.between(1.15, 1.6)
			}
			net = min(max(net, 0.3*first), 1800)
			level := (net + h.Config.LossWK*(105-h.Config.Room)) / h.Config.Watts
			h.Turns = append(h.Turns, Turn{After: time.Duration(at * float64(time.Second)).Round(step), Level: min(level, 1)})
		}
	}
	if d.chance(0.1) {
		on := d.seconds(5, 120)
		h.Turns = append(h.Turns,
			Turn{After: on, Lid: 1},
			Turn{After: on + d.seconds(60, 300), Lid: -1})
		slices.SortFunc(h.Turns, func(a, b Turn) int { return cmp.Compare(a.After, b.After) })
	}
}
