package ui

import (
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// The batch behind these frames is invented: a market stall's dipping caramel,
// drawn by hand, not computed by the fold, so that the frames show the screen's
// doings alone.

const fakeTarget = probe.Celsius(112.8) // about 235 °F

// fakeC is the pot's temperature some minutes into the invented batch.
func fakeC(min float64) float64 {
	type knot struct{ at, c float64 }
	way := []knot{{0, 21}, {1, 30}, {4, 150}, {5, 158}, {8, 171}, {8.2, 120}, {8.5, 101}, {9, 105}, {9.2, 98}, {10, 103}, {10.2, 98.5}, {11, 103.6}, {14, 104.3}, {17, 105}, {19, 106.2}, {21, 108.4}, {22.5, 110.9}, {23.4, 112.7}, {23.8, 113.1}, {24.7, 103}, {25.3, 101}, {26, 98.5}, {28, 94}, {40, 70}}
	for i := 1; i < len(way); i++ {
		if min <= way[i].at {
			f := (min - way[i-1].at) / (way[i].at - way[i-1].at)
			return way[i-1].c + f*(way[i].c-way[i-1].c)
		}
	}
	return 60
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }

func fakePhase(min float64) plateau.Phase {
	for i, until := range []float64{0.5, 8, 11, 18.5, 23.5, 24.8, 26} {
		if min < until {
			return plateau.Phase(i)
		}
	}
	return plateau.Done
}

type fakeMark struct {
	min  float64
	mark plateau.Mark
	text string
}

var fakeMarks = []fakeMark{
	{0.5, plateau.MarkMeltStart, ""}, {4, plateau.MarkLookClumps, ""}, {6.5, plateau.MarkLookColouring, ""},
	{7.6, plateau.MarkCrystalsGone, ""}, {8, plateau.MarkCreamStart, ""}, {10.1, plateau.MarkCreamEnd, ""},
	{14, plateau.MarkNote, "smells of toffee"}, {19.5, plateau.MarkHeatDown, ""}, {23.5, plateau.MarkPull, ""}, {25.1, plateau.MarkDip, ""},
}

var fakePrompts = []struct {
	min float64
	p   plateau.Prompt
}{
	{7.7, plateau.AddCream}, {12, plateau.Stalled}, {18.6, plateau.LowerHeat}, {22, plateau.NearTarget}, {23.3, plateau.PullNow}, {24.9, plateau.DipOpen}, {25.7, plateau.DipClosing},
}

// fakeAdvice is what a fold could say at that minute.
func fakeAdvice(at float64) plateau.Advice {
	c := probe.Celsius(fakeC(at))
	a := plateau.Advice{
		At: minutes(at), C: c, HasC: true, Now: c, HasNow: true, Phase: fakePhase(at), Target: fakeTarget,
		Slope: (fakeC(at) - fakeC(at-0.5)) / 0.5,
	}
	a.Stalled = a.Phase == plateau.Stall
	if at >= 13 && at < 23.5 {
		eta := minutes(23.4 - at)
		a.Forecast = plateau.Forecast{ETA: max(eta, 0), Low: max(eta*8/10, 0), High: max(eta*13/10, 0), By: plateau.ByStallLine}
		if at > 20 {
			a.Forecast.By = plateau.BySlope
		}
	} else if at < 8 {
		a.Why = plateau.WhyNoBoil
	} else if at < 13 {
		a.Why = plateau.WhyTooEarly
	}
	if at >= 23.5 {
		a.HasDip, a.DipIn, a.DipLeft = true, max(minutes(24.8-at), 0), max(min(minutes(26-at), minutes(1.2)), 0)
	}
	if at > 23.8 {
		a.Peak = probe.Celsius(113.1)
	} else if at > 12 {
		a.Peak = c
	}
	for i, fp := range fakePrompts {
		if at >= fp.min && (i+1 == len(fakePrompts) || at < fakePrompts[i+1].min) && at < fp.min+1.2 {
			a.Standing = a.Standing.With(fp.p)
		}
	}
	return a
}

// fakeHistory is the chart's memory of the invented batch up to a minute.
func fakeHistory(min float64) *History {
	h := NewHistory()
	fakeInputs(min, func(in plateau.Input, a plateau.Advice) bool { h.Add(in, a); return true })
	return h
}

// fakeInputs tells the invented batch twice a second, with a gap, a spike and
// a doubted reading.
func fakeInputs(until float64, yield func(plateau.Input, plateau.Advice) bool) {
	marks, prompts := fakeMarks, fakePrompts
	for i := 0; ; i++ {
		min := float64(i) / 120
		if min > until {
			return
		}
		for len(marks) > 0 && min >= marks[0].min {
			in := plateau.Input{Kind: plateau.Marked, At: minutes(min), Mark: marks[0].mark, Text: marks[0].text}
			if !yield(in, fakeAdvice(min)) {
				return
			}
			marks = marks[1:]
		}
		a := fakeAdvice(min)
		a.C += probe.Celsius(0.15 * math.Sin(float64(i)*1.7))
		switch {
		case min > 16 && min < 16.6:
			continue
		case i == 1500:
			a.Fault, a.C = probe.FaultSpike, 108.5
		}
		for len(prompts) > 0 && min >= prompts[0].min {
			a.Began = a.Began.With(prompts[0].p)
			prompts = prompts[1:]
		}
		if !yield(plateau.Input{Kind: plateau.Measured, At: a.At, C: a.C, Fault: a.Fault}, a) {
			return
		}
	}
}

// fakeSnapshot is a healthy cook at that minute.
func fakeSnapshot(min float64) Snapshot {
	return Snapshot{At: minutes(min), Advice: fakeAdvice(min), Linked: true, Recording: true}
}

type fakeFeed struct{ s Snapshot }

func (f *fakeFeed) Snapshot() Snapshot { return f.s }

// fakeTeller remembers what it was told.
type fakeTeller struct{ got []plateau.Input }

func (f *fakeTeller) Tell(in plateau.Input) { f.got = append(f.got, in) }

func fakeConfig(d Depth) Config {
	return Config{
		Name: "Pretzel rods, market stall", Unit: probe.UnitF, Depth: d,
		Fold: plateau.Config{Target: fakeTarget, Pressure: 101325},
	}
}

// fakeSentence stands in for the fold's words, which change with the fold.
func fakeSentence(p plateau.Prompt, _ plateau.Advice, _ probe.Unit) string {
	return "What the fold says of " + p.String() + "."
}

// fakeLive is a live screen at that minute, and what is behind it.
func fakeLive(min float64, d Depth) (*live, *fakeFeed, *fakeTeller) {
	feed, tell := &fakeFeed{fakeSnapshot(min)}, &fakeTeller{}
	m := NewLive(fakeConfig(d), fakeHistory(min), feed, tell).(*live)
	m.words = fakeSentence
	return m, feed, tell
}

// fakeTape is the invented batch as a recording.
type fakeTape struct{ min float64 }

func (f fakeTape) Config() plateau.Config { return fakeConfig(NoStyle).Fold }
func (f fakeTape) End() time.Duration     { return minutes(f.min) }
func (f fakeTape) Seek(at time.Duration) plateau.Advice {
	return fakeAdvice(at.Minutes())
}
func (f fakeTape) Each(yield func(plateau.Input, plateau.Advice) bool) { fakeInputs(f.min, yield) }

// Recorded has the prompts as they are today but for two: one came later, and
// one is no longer raised.
func (f fakeTape) Recorded(yield func(time.Duration, plateau.Prompt, string) bool) {
	for _, p := range fakePrompts {
		at := minutes(p.min)
		if p.p == plateau.PullNow {
			at += 4 * time.Second
		}
		if !yield(at, p.p, "Then: "+p.p.String()+".") {
			return
		}
	}
	yield(minutes(20), plateau.Stir, "Then: stir.")
}

// fakeReplay is a replay that stands at a minute.
func fakeReplay(min float64, d Depth) *replay {
	m := NewReplay(fakeConfig(d), fakeTape{30}).(*replay)
	m.words = fakeSentence
	m.Update(m.pull())
	m.goTo(minutes(min))
	m.arrive()
	return m
}
