package ui

import (
	"fmt"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// summary is what a whole batch comes to.
type summary struct {
	target          probe.Celsius
	end             time.Duration
	phases          [plateau.Done + 1]time.Duration
	phase           plateau.Phase
	since           time.Duration
	peak            probe.Celsius
	pulledAt        time.Duration
	pulledC         probe.Celsius
	pulled          bool
	readings        int
	unused          int
	marks           int
	then, today     int // prompts shown then, raised today
	lastRead        time.Duration
	gap             time.Duration // the longest stretch without a usable reading
	firstForecast   time.Duration
	forecastArrival time.Duration // when the first forecast put the target
	reached         time.Duration // when the target was reached
}

func (s *summary) add(in plateau.Input, a plateau.Advice) {
	s.phases[min(s.phase, plateau.Done)] += in.At - s.end
	s.end, s.phase = in.At, a.Phase
	if a.Target != 0 {
		s.target = a.Target
	}
	s.peak = max(s.peak, a.Peak)
	switch in.Kind {
	case plateau.Marked:
		s.marks++
		if in.Mark == plateau.MarkPull {
			s.pulled, s.pulledAt, s.pulledC = true, max(in.At-in.Ago, 0), a.Now
		}
	case plateau.Measured:
		s.readings++
		if a.Fault != probe.FaultNone {
			s.unused++
			break
		}
		s.gap = max(s.gap, in.At-s.lastRead)
		s.lastRead = in.At
		if s.reached == 0 && a.HasNow && a.Phase == plateau.Climb && a.Now >= s.target {
			s.reached = in.At
		}
	}
	if f := a.Forecast; f.Ok() && s.firstForecast == 0 {
		s.firstForecast, s.forecastArrival = in.At, in.At+f.ETA
	}
}

// lines tells the batch, the outcome first.
func (s *summary) lines(u probe.Unit) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	switch {
	case s.peak != 0 && s.pulled:
		over := probe.Delta(s.peak - s.target)
		word := "over"
		if over < 0 {
			over, word = -over, "short of"
		}
		say("Peak %s: %s %s the target of %s.", temp(s.peak, u), diff(over, u), word, temp(s.target, u))
		say("Pulled at %s and %s.", clock(s.pulledAt), temp(s.pulledC, u))
	case s.peak != 0:
		say("Peak %s, target %s. No pull was marked.", temp(s.peak, u), temp(s.target, u))
	default:
		say("Target %s. The pot never came to the stall.", temp(s.target, u))
	}
	var parts []string
	for _, p := range []plateau.Phase{plateau.Melt, plateau.Cream, plateau.Stall, plateau.Climb, plateau.Dip} {
		if d := s.phases[p]; d > 0 {
			parts = append(parts, phaseName(p)+" "+long(d))
		}
	}
	if len(parts) > 0 {
		say("%s.", strings.Join(parts, ", "))
	}
	if s.firstForecast > 0 && s.reached > 0 {
		off := s.forecastArrival - s.reached
		word := "late"
		if off < 0 {
			off, word = -off, "early"
		}
		say("The first forecast, %s ahead, was %s too %s.", long(s.reached-s.firstForecast), long(off), word)
	}
	say("%d readings, %d not used, longest gap %s; %d marks.", s.readings, s.unused, long(s.gap), s.marks)
	return out
}

// draw is the summary as a page.
func (r *recording) draw(sc *scene, cv *canvas, x, y, w, h int) {
	all := r.sum.lines(sc.unit)
	if len(r.ghosts) == 0 {
		all = append(all, fmt.Sprintf("All %d prompts as they were shown then.", r.sum.then))
	} else {
		all = append(all, fmt.Sprintf("%d prompts then, %d today; they differ here:", r.sum.then, r.sum.today))
		for _, g := range r.ghosts {
			all = append(all, "  "+g.words(sc.unit, sc.words))
		}
	}
	row := 0
	for i, s := range all {
		st := plain
		if i == 0 {
			st = strong
		}
		for _, line := range wrap(s, w-2, cv.ascii) {
			if row < h {
				cv.textTo(x+1, y+row, x+w, st, line)
			}
			row++
		}
	}
}
