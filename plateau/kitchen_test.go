package plateau_test

import (
	"math"
	"math/rand/v2"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

// kitchen is a pot for tests, simpler than the simulated pot and written from
// the heat balance alone: one body of melt and pot, cream that mixes at once,
// a boil along the recommended curve. Everything in it is invented.
type kitchen struct {
	mix     syrup.Mix
	c       float64 // °C, true
	shown   float64 // °C, behind the lag
	potJK   float64
	watts   float64 // net of losses at a boil
	lossWK  float64 // to the room, off the heat only
	pPa     float64
	lagS    float64
	noise   float64
	step    float64
	offset  float64
	every   float64 // s between readings
	t       float64
	on      bool
	rnd     *rand.Rand
	state   plateau.State
	rows    []row
	pending float64 // g of cream still to pour
	pour    float64 // g/s
	creamC  float64
	cream   syrup.Mix // one gram of it
	hush    bool      // no marks
	offAt   float64   // °C at which the heat goes off by itself; 0 for never
	airC    float64   // °C round a tip that is lifted out
	airS    float64   // s with which it follows that air; 0 for a tip in the pot
	pocket  float64   // K by which cold cream round the tip is cooler than the pot
}

type row struct {
	at    time.Duration
	truth float64
	a     plateau.Advice
}

func newKitchen(cfg plateau.Config) *kitchen {
	k := &kitchen{
		mix: syrup.Mix{Solutes: 400}, c: 22, shown: 22, potJK: 500, watts: 600, lossWK: 1.5,
		pPa: syrup.StandardPressure, lagS: cfg.Lag.Seconds(), noise: 0.05, step: 0.1, every: 1,
		on: true, creamC: 60, rnd: rand.New(rand.NewPCG(1, 2)),
		cream: syrup.Mix{Water: 0.577, Fat: 0.361, Solutes: 0.062, Protein: 0.028, Ash: 0.006},
	}
	k.state = plateau.Start(cfg)
	return k
}

func (k *kitchen) heatCapacity() float64 {
	if k.mix.Water == 0 {
		return k.potJK + k.mix.Solutes*2.3
	}
	return k.potJK + k.mix.HeatCapacity(min(k.c, 130))
}

// run lets s seconds pass, or until stop says so after a reading.
func (k *kitchen) run(s float64, stop func(a plateau.Advice) bool) bool {
	const dt = 0.05
	for end := k.t + s; k.t < end-1e-9; {
		k.physics(dt)
		k.t += dt
		if n := math.Round(k.t / k.every); math.Abs(k.t-n*k.every) < dt/2 {
			if a := k.read(); stop != nil && stop(a) {
				return true
			}
		}
	}
	return false
}

func (k *kitchen) physics(dt float64) {
	if k.pending > 0 {
		g := min(k.pour*dt, k.pending)
		k.pending -= g
		p := syrup.Pour(k.mix, k.heatCapacity(), k.c, k.cream.Scale(g), k.creamC, 0, k.pPa)
		k.mix, k.c = p.Mix, p.C
	}
	if k.offAt > 0 && k.c >= k.offAt {
		k.on = false
	}
	heat := 0.0
	if k.on {
		heat = k.watts * dt
	} else {
		heat = -k.lossWK * (k.c - 22) * dt
	}
	boils := math.Inf(1)
	if k.mix.Water > 0 {
		boils = k.mix.Boils(k.pPa)
	}
	if k.c < boils-0.01 || heat < 0 {
		k.c += heat / k.heatCapacity()
	} else {
		b := syrup.Boiling{Mix: k.mix, PotJK: k.potJK, PowerW: heat / dt, PressurePa: k.pPa}
		k.c = boils + b.Slope(boils)*dt
		k.mix = k.mix.WithWater(k.mix.WaterAt(k.c, k.pPa))
	}
	if k.airS > 0 {
		k.shown = syrup.Lagged(k.shown, k.airC, k.airS, dt)
		return
	}
	k.shown = syrup.Lagged(k.shown, k.c-k.pocket, k.lagS, dt)
}

// lift runs s seconds with the tip in air at c °C, which it follows with the
// time constant tau.
func (k *kitchen) lift(s, c, tau float64) {
	k.airC, k.airS = c, tau
	k.run(s, nil)
	k.airS = 0
}

// read takes a reading and steps it.
func (k *kitchen) read() plateau.Advice {
	c := k.shown + k.offset + k.noise*k.rnd.NormFloat64()
	if k.step > 0 {
		c = math.Round(c/k.step) * k.step
	}
	return k.tell(plateau.Reading(probe.Reading{At: k.now(), C: probe.Celsius(c)}))
}

func (k *kitchen) now() time.Duration {
	return time.Duration(k.t * float64(time.Second)).Round(time.Millisecond)
}

func (k *kitchen) tell(in plateau.Input) plateau.Advice {
	in.At = k.now()
	var a plateau.Advice
	k.state, a = plateau.Step(k.state, in)
	k.rows = append(k.rows, row{at: in.At, truth: k.c, a: a})
	return a
}

func (k *kitchen) mark(m plateau.Mark) plateau.Advice {
	if k.hush {
		return plateau.Advice{}
	}
	return k.tell(plateau.Input{Kind: plateau.Marked, Mark: m})
}

// batch cooks a whole batch: melt, cream in portions, boil, pull when told,
// cool to the end of the dip.
func (k *kitchen) batch() {
	k.run(20, nil)
	k.mark(plateau.MarkMeltStart)
	k.run(3000, func(plateau.Advice) bool { return k.c >= 165 })
	k.mark(plateau.MarkLookClear)
	k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
	k.mark(plateau.MarkCreamStart)
	k.pour = 10
	for range 12 {
		k.pending += 40
		k.run(20, nil)
	}
	k.mark(plateau.MarkCreamEnd)
	k.boilAndPull()
}

func (k *kitchen) boilAndPull() {
	k.run(6000, func(a plateau.Advice) bool { return a.Began.Has(plateau.PullNow) })
	k.run(2, nil)
	k.on = false
	k.mark(plateau.MarkPull)
	k.run(1500, func(a plateau.Advice) bool { return a.Phase == plateau.Done })
	k.run(30, nil)
}
