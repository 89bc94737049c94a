package sessions

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// Level is how much a finding matters.
type Level uint8

// The levels in order of harm.
const (
	Note    Level = iota // worth knowing, does no harm by itself
	Minor                // may be tasted or felt
	Serious              // changes the sweet
	Spoiled              // another sweet, or none
)

var levelWords = [...]string{"note", "minor", "serious", "spoiled"}

// String returns the level's word.
func (l Level) String() string {
	if int(l) >= len(levelWords) {
		return "note"
	}
	return levelWords[l]
}

// Finding is one thing that a batch shows.
type Finding struct {
	Kind    string // a fixed word, as "over-target"
	Level   Level
	Harm    float64       // for the order among equals: how many times its limit
	At      time.Duration // where to look in a replay
	What    string        // one sentence: what happened, how much
	Against string        // what it was measured against
	Why     string        // why it matters
	Next    string        // what to do next time
}

// Usual is what batches of a recipe are like. The zero value knows nothing.
type Usual struct {
	N     int           // batches behind it
	Stall time.Duration // median length of the stall
}

// usualLeast is how many batches make a habit.
const usualLeast = 3

// UsualOf returns what the shelf knows of a recipe, the batch named except
// left out.
func UsualOf(entries []Entry, recipe, except string) Usual {
	var stalls []time.Duration
	for _, e := range entries {
		if recipe != "" && e.Recipe == recipe && e.Name != except && e.Stall > 0 {
			stalls = append(stalls, e.Stall)
		}
	}
	if len(stalls) == 0 {
		return Usual{}
	}
	slices.Sort(stalls)
	return Usual{N: len(stalls), Stall: stalls[len(stalls)/2]}
}

// Verdict is a reviewed batch.
type Verdict struct {
	Findings []Finding // in order of harm
	Summary  string    // one sentence
}

// Good reports whether nothing stands above a note.
func (v Verdict) Good() bool { return len(v.Findings) == 0 || v.Findings[0].Level == Note }

// Review says where a batch went wrong, the worst first, and of a good batch
// that it was good. It judges by this program's fold, whatever version
// recorded the batch.
func Review(s *Session, usual Usual) Verdict {
	c := courseOf(s)
	rv := &review{course: c, unit: s.Header.Unit, usual: usual}
	for _, check := range []func(){
		rv.judgeEndpoint, rv.judgeScorch, rv.judgePullHand, rv.judgeCarry, rv.judgeMelt, rv.judgeCream, rv.judgeGrain, rv.judgeHeat,
		rv.judgeStallLength, rv.judgeNoRise, rv.judgeDip, rv.judgeGaps, rv.judgeForecast, rv.judgeFile,
	} {
		check()
	}
	slices.SortStableFunc(rv.found, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(b.Level, a.Level), cmp.Compare(b.Harm, a.Harm), cmp.Compare(a.At, b.At))
	})
	v := Verdict{Findings: rv.found}
	v.Summary = rv.summary(v)
	return v
}

type review struct {
	*course
	unit  probe.Unit
	usual Usual
	found []Finding
}

func (rv *review) add(kind string, level Level, harm float64, at time.Duration, f Finding) {
	f.Kind, f.Level, f.Harm, f.At = kind, level, harm, max(at, 0)
	rv.found = append(rv.found, f)
}

func (rv *review) temp(c probe.Celsius) string { return rv.unit.Temp(c, 1) }
func (rv *review) diff(d float64) string       { return rv.unit.Diff(probe.Delta(d), 1) }
func (rv *review) per(cPerMin float64) string  { return rv.diff(cPerMin) + "/min" }

func clock(d time.Duration) string {
	s := int(d.Round(time.Second).Seconds())
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// earlier tells the peaks of the lifts before the last.
func (rv *review) earlier() string {
	if len(rv.lifts) == 0 {
		return ""
	}
	peaks := make([]string, len(rv.lifts))
	for i, c := range rv.lifts {
		peaks[i] = rv.temp(c)
	}
	return " It was lifted before, at " + strings.Join(peaks, ", ") + "."
}

func (rv *review) summary(v Verdict) string {
	reached := ""
	if rv.peak != 0 && rv.target != 0 {
		d := float64(rv.peak - rv.target)
		side := "above"
		if d < 0 {
			side = "below"
		}
		reached = fmt.Sprintf(" It peaked at %s, %s %s its target.", rv.temp(rv.peak), rv.diff(math.Abs(d)), side) + rv.earlier()
	}
	switch {
	case len(rv.points) == 0:
		return "The session holds no readings."
	case rv.peak == 0:
		return "The pot never came to the boil after the cream, so there is no endpoint to judge."
	case v.Good():
		return "A good batch: nothing in it went wrong." + reached
	}
	n := 0
	for _, f := range v.Findings {
		if f.Level > Note {
			n++
		}
	}
	if n == 1 {
		return "One thing went wrong." + reached
	}
	return fmt.Sprintf("%d things went wrong.%s", n, reached)
}

// judgeEndpoint judges the peak against the target.
func (rv *review) judgeEndpoint() {
	if rv.peak == 0 || rv.target == 0 {
		return
	}
	d := float64(rv.peak - rv.target)
	against := "the target of " + rv.temp(rv.target)
	if d > offNote.value {
		over := rv.timeOver()
		rv.add("over-target", offLevel(d), d/offMinor.value, rv.peakAt, Finding{
			What:    fmt.Sprintf("The pot peaked %s over its target and stood over it for %s.", rv.diff(d), clock(over)),
			Against: against,
			Why:     "Each degree over drives off more water: the sweet sets harder.",
			Next:    "Pull at the prompt, with the heat turned down for the climb, or aim lower by what you overshot.",
		})
	}
	if rv.pull != noTime && d < -offNote.value {
		rv.add("pulled-early", min(offLevel(-d), Serious), -d/offMinor.value, rv.pull, Finding{
			What:    fmt.Sprintf("The pot was pulled early: it peaked %s under its target.", rv.diff(-d)),
			Against: against,
			Why:     "Water that is left makes the sweet softer; it may not hold its shape.",
			Next:    "Wait for the pull prompt. A pot that was pulled early can go back on the heat.",
		})
	}
	if rv.pull == noTime && rv.climb != noTime {
		rv.add("no-pull", Note, 1, rv.end, Finding{
			What:    "No pull was seen: the record ends with the pot on the heat.",
			Against: "every batch is pulled", Why: "Without the pull the cooling cannot be judged.",
			Next: "Press the pull key, or let the probe stand in the pot while it cools.",
		})
	}
}

// offLevel says what it means to miss the target by d kelvin.
func offLevel(d float64) Level {
	switch {
	case d >= offSpoiled.value:
		return Spoiled
	case d >= offSerious.value:
		return Serious
	case d >= offMinor.value:
		return Minor
	}
	return Note
}

// timeOver returns how long the pot stood over its target by more than 1 °F.
func (rv *review) timeOver() time.Duration {
	var over time.Duration
	last := noTime
	for p := range rv.between(rv.stall, rv.end+1) {
		if last != noTime && p.now > p.target+probe.Celsius(offNote.value) && p.phase < plateau.Dip {
			over += min(p.at-last, SilenceAfter)
		}
		last = p.at
	}
	return over
}

func (rv *review) judgeScorch() {
	if rv.target == 0 || rv.stall == noTime {
		return
	}
	for p := range rv.between(rv.stall, rv.until(rv.pull)) {
		if p.ok && p.now >= p.target+probe.Celsius(scorchOver.value) {
			rv.add("scorch", Spoiled, float64(rv.peak-rv.target)/scorchOver.value, p.at, Finding{
				What:    fmt.Sprintf("The pot stayed on the heat %s past its target.", rv.diff(float64(p.now-p.target))),
				Against: "5 °C past the target", Why: "Milk solids catch and taste burnt there.",
				Next: "Keep a cold surface ready to set the pot on, and lift it at the first prompt.",
			})
			return
		}
	}
}

// judgePullHand judges the way from the prompt to the pull.
func (rv *review) judgePullHand() {
	if rv.pull == noTime || rv.stall == noTime {
		return
	}
	slope := rv.slopeAt(rv.pull)
	limit, against := steepPull.value, rv.per(steepPull.value)+", at which nine seconds cost a degree"
	if r := rv.session.Header.Config.Reaction; r > 0 && fahrenheits(1)/r.Minutes() < limit {
		limit = fahrenheits(1) / r.Minutes()
		against = fmt.Sprintf("%s, at which this cook's reaction of %.0f s costs a degree", rv.per(limit), r.Seconds())
	}
	if slope > limit {
		rv.add("steep-pull", Minor, slope/limit, rv.pull, Finding{
			What:    fmt.Sprintf("The pot climbed at %s when it was pulled.", rv.per(slope)),
			Against: against,
			Why:     "The steeper the climb, the more a moment's delay costs.",
			Next:    "Turn the heat down when the pot leaves the stall.",
		})
	}
	prompted := rv.promptAt(plateau.PullNow, rv.stall)
	late := rv.pull - prompted
	if prompted != noTime && late.Seconds() > slowPull.value {
		rv.add("slow-pull", Minor, late.Seconds()/slowPull.value, prompted, Finding{
			What:    fmt.Sprintf("The pull came %s after its prompt.", clock(late)),
			Against: "a hand beside the pot, which needs two seconds",
			Why:     "The pot goes on climbing until it is off the heat.",
			Next:    "Stand at the pot from the near-target prompt on, or tell the program a longer reaction time.",
		})
	}
}

// slopeAt returns the fold's slope just before t, °C/min, which leaves stirring
// and noise out; 0 where it had none in the last twenty seconds.
func (rv *review) slopeAt(t time.Duration) float64 {
	slope := 0.0
	for p := range rv.between(max(t-20*time.Second, 0), t+1) {
		if p.slope != 0 && p.phase < plateau.Pulled {
			slope = p.slope
		}
	}
	return slope
}

// judgeCarry judges the rise after the pull.
func (rv *review) judgeCarry() {
	if rv.pull == noTime || rv.stall == noTime || rv.peakAt <= rv.pull {
		return
	}
	// The hottest of the last moments: stirring cools the probe's tip.
	at, _ := rv.hottest(max(rv.pull-20*time.Second, 0), rv.pull+1)
	rise := float64(rv.peak-at) - float64(rv.session.Header.Config.CarryOver)
	if at == 0 || rise <= carryOver.value {
		return
	}
	rv.add("carry-over", Minor, rise/carryOver.value, rv.pull, Finding{
		What:    fmt.Sprintf("The pot rose by %s after the pull.", rv.diff(float64(rv.peak-at))),
		Against: "a carry-over of " + rv.diff(float64(rv.session.Header.Config.CarryOver)) + " that the program was told",
		Why:     "Heat stored in the base goes on cooking the batch.",
		Next:    "Set the pot on a cold surface, or tell the program the carry-over so that it prompts earlier.",
	})
}
