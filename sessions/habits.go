package sessions

import (
	"math"
	"slices"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

// Habit is one figure as past batches give it. The zero value knows nothing.
type Habit struct {
	Median    float64 // in the habit's own unit
	Low, High float64 // the least and the most that was seen
	N         int     // batches behind it
}

// Known reports whether enough batches stand behind the habit to act on it.
func (h Habit) Known() bool { return h.N >= habitLeast }

// Habits are what past batches say of a cook and a hob.
type Habits struct {
	Reaction  Habit // s from the pull prompt to the pot off the heat; the cook's
	CarryOver Habit // K that the pot rises after the pull; the hob's and the pot's
	Power     Habit // W net into the pot, from the boil to the pull, the lowered heat included; the hob's
	Cooling   Habit // s, time constant of the pot off the heat, towards a room of 22 °C; the pot's
}

const (
	// habitBatches is how many of the latest batches count: hands and hobs
	// change.
	habitBatches = 8
	// habitLeast is how many batches make a habit. The median of three
	// outvotes one that went astray.
	habitLeast = 3
)

// What lies outside these bounds is no reaction, carry-over or hob, but
// another errand, a probe that slipped or a recipe that was not followed.
const (
	reactionMost = 15.0 // s
	carryMost    = 6.0  // K
	powerLeast   = 50.0 // W
	powerMost    = 5000.0
)

// HabitsOf learns from sessions, the newest first.
func HabitsOf(all []*Session) Habits {
	var l habitList
	for _, s := range all[:min(len(all), habitBatches)] {
		l.add(habitsOnce(s), true, true)
	}
	return l.habits()
}

// HabitsOn learns from the shelf what batches of one cook and one hob have in
// common, each by its name, "" for those that gave none: the reaction from the
// cook's batches, the rest from the hob's. Simulated batches, and what cannot
// be read, are passed over. It reads and folds up to sixteen sessions.
func HabitsOn(entries []Entry, cook, hob string) Habits {
	type candidate struct {
		entry        Entry
		hand, fire   bool
		figures      onceHabits
		couldBeFound bool
	}
	var take []*candidate
	hands, fires := 0, 0
	for _, e := range entries {
		c := &candidate{entry: e, hand: e.Cook == cook && hands < habitBatches, fire: e.Hob == hob && fires < habitBatches}
		if e.Demo || e.PullAt == 0 || !c.hand && !c.fire {
			continue
		}
		if c.hand {
			hands++
		}
		if c.fire {
			fires++
		}
		take = append(take, c)
	}
	onAllCores(len(take), func(i int) {
		if s, err := Read(take[i].entry.Path); err == nil {
			take[i].figures, take[i].couldBeFound = habitsOnce(s), true
		}
	})
	var l habitList
	for _, c := range take {
		if c.couldBeFound {
			l.add(c.figures, c.hand, c.fire)
		}
	}
	return l.habits()
}

// onceHabits are the figures of one batch, NaN where it has none.
type onceHabits struct{ reaction, carry, power, cooling float64 }

func habitsOnce(s *Session) onceHabits {
	c := courseOf(s)
	h := onceHabits{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	if c.pull == noTime || c.stall == noTime {
		return h
	}
	if c.markAt(plateau.MarkPull) != noTime { // else the fold guessed when
		if v, ok := c.heardToPull(); ok && v <= reactionMost {
			h.reaction = v
		}
		if at, _ := c.hottest(max(c.pull-20*time.Second, 0), c.pull+1); at != 0 && c.peak != 0 {
			if v := max(float64(c.peak-at), 0); v <= carryMost {
				h.carry = v
			}
		}
	}
	if v, ok := c.netPower(); ok {
		h.power = v
	}
	if v, ok := c.coolingConstant(); ok {
		h.cooling = v
	}
	return h
}

// heardToPull is the time from the pull prompt that the cook heard, as it was
// recorded, to the pull. Where no prompt was heard, as in a batch that was
// imported, nobody reacted to one.
func (c *course) heardToPull() (s float64, ok bool) {
	for _, r := range c.session.Records {
		if r.Kind == PromptRecord && r.Prompt == plateau.PullNow && r.At >= max(c.stall, c.lastRun) && r.At <= c.pull {
			return (c.pull - r.At).Seconds(), true
		}
	}
	return 0, false
}

// habitList gathers what batches say.
type habitList struct{ reaction, carry, power, cooling []float64 }

// add takes a batch: for the cook's hand, for the hob and its pot, or both.
func (l *habitList) add(h onceHabits, hand, fire bool) {
	put := func(to *[]float64, v float64, say bool) {
		if say && !math.IsNaN(v) {
			*to = append(*to, v)
		}
	}
	put(&l.reaction, h.reaction, hand)
	put(&l.carry, h.carry, fire)
	put(&l.power, h.power, fire)
	put(&l.cooling, h.cooling, fire)
}

func (l *habitList) habits() Habits {
	return Habits{Reaction: habitOf(l.reaction), CarryOver: habitOf(l.carry), Power: habitOf(l.power), Cooling: habitOf(l.cooling)}
}

func habitOf(v []float64) Habit {
	if len(v) == 0 {
		return Habit{}
	}
	return Habit{Median: median(v), Low: slices.Min(v), High: slices.Max(v), N: len(v)}
}

// median of no value is 0.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	if n := len(v); n%2 == 0 {
		return (v[n/2-1] + v[n/2]) / 2
	}
	return v[len(v)/2]
}

// room is what a pot cools towards where nobody measured the room, °C.
const room = 22

// coolingConstant fits Newton's law of cooling, dT/dt = −(T − room)/τ, from a
// minute after the pull on: ln(T − room) falls along a straight line of slope
// −1/τ. It needs two minutes of readings.
func (c *course) coolingConstant() (tau float64, ok bool) {
	var n, sx, sy, sxx, sxy float64
	var last time.Duration
	from := c.pull + time.Minute
	for p := range c.between(from, c.end+1) {
		if !p.ok || p.c <= room+5 || p.phase < plateau.Pulled {
			continue
		}
		x, y := (p.at - from).Seconds(), math.Log(float64(p.c)-room)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
		last = p.at
	}
	d := n*sxx - sx*sx
	if n < 20 || last-from < 2*time.Minute || d <= 0 {
		return 0, false
	}
	slope := (n*sxy - sx*sy) / d
	if slope >= 0 {
		return 0, false
	}
	return -1 / slope, true
}

// How long after the stall's beginning the pot counts as boiling evenly, how
// long its temperature is averaged there, and the shortest boil that a power
// is read from.
const (
	evenBoil   = 30 * time.Second
	evenFor    = 20 * time.Second
	powerSpans = time.Minute
)

// netPower is the heat that went into the pot from the boil to the pull over
// the time that it took. At a boil the temperature says how much water there
// is, so two temperatures say how much has gone. That needs the recipe and the
// air pressure, and one run without anything added.
func (c *course) netPower() (w float64, ok bool) {
	cfg := c.session.Header.Config
	if !cfg.Batch.Known() || cfg.Pressure == 0 || c.lastRun != 0 || c.markAt(plateau.MarkAdded) > c.stall {
		return 0, false
	}
	from := c.stall + evenBoil
	began, n := 0.0, 0
	for p := range c.between(from, from+evenFor) {
		if p.ok {
			began += float64(p.c)
			n++
		}
	}
	ended, ok := c.at(c.pull)
	took := c.pull - from - evenFor/2
	if n < 5 || !ok || took < powerSpans {
		return 0, false
	}
	mix := cfg.Batch.Melt.Add(cfg.Batch.Cream)
	// No more water can be in the pot than went in.
	began = max(began/float64(n), mix.Boils(cfg.Pressure))
	boil := syrup.Boiling{Mix: mix, PotJK: cfg.Batch.PotJK, PowerW: 1, PressurePa: cfg.Pressure}
	w = boil.Seconds(began, float64(ended)) / took.Seconds() // at one watt seconds are joules
	return w, w >= powerLeast && w <= powerMost
}

// The bounds that a learned figure is held in before the pull acts on it: the
// quickest hand needs a second, and a pull that comes more than ten seconds or
// 5 °F ahead would do more harm than a wrong habit does good.
const (
	reactionFrom, reactionTo = time.Second, 10 * time.Second
	carryTo                  = 5 / 1.8 // K
)

// PullReaction returns the cook's reaction within bounds, and whether it is
// known well enough to act on.
func (h Habits) PullReaction() (time.Duration, bool) {
	d := fromSeconds(h.Reaction.Median).Round(100 * time.Millisecond)
	return max(min(d, reactionTo), reactionFrom), h.Reaction.Known()
}

// PullCarryOver returns the carry-over within bounds, and whether it is known
// well enough to act on.
func (h Habits) PullCarryOver() (probe.Delta, bool) {
	k := math.Round(100*h.CarryOver.Median) / 100
	return probe.Delta(max(min(k, carryTo), 0)), h.CarryOver.Known()
}
