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

// key moves among the findings.
func (r *recording) key(key string) bool {
	n, ok := map[string]int{"down": 1, "up": -1}[key]
	if ok && r.verdict != nil {
		r.list.move(n, len(r.verdict.Findings))
	}
	return ok
}

// finding is the moment of the finding that is chosen.
func (r *recording) finding() (time.Duration, bool) {
	if r.verdict == nil || r.list.at >= len(r.verdict.Findings) {
		return 0, false
	}
	return r.verdict.Findings[r.list.at].At, true
}

// draw is the summary as a page: what went wrong first, then the figures.
func (r *recording) draw(sc *scene, cv *canvas, x, y, w, h int) {
	end := y + h
	put := func(st style, indent int, s string) {
		for _, line := range wrap(s, w-2-indent, cv.ascii) {
			if y < end {
				cv.textTo(x+1+indent, y, x+w, st, line)
			}
			y++
		}
	}
	if r.verdict != nil {
		put(strong, 0, Clean(r.verdict.Summary))
		for i, f := range r.verdict.Findings {
			if i < r.list.at-1 {
				continue // what is chosen stays in sight
			}
			st := plain
			if i == r.list.at {
				if y < end {
					cv.set(x, y, '▶', keyCap)
				}
				st = strong
			}
			put(st, 1, f.Level.String()+" at "+clock(f.At)+": "+Clean(f.What))
			if i == r.list.at {
				put(plain, 3, Clean(f.Why)+" "+Clean(f.Next))
			}
		}
	}
	for i, s := range r.sum.lines(sc.unit) {
		st := plain
		if i == 0 {
			if r.verdict != nil {
				continue // it begins with the same
			}
			st = strong
		}
		put(st, 0, s)
	}
	switch {
	case r.sum.then == 0:
		put(plain, 0, "No prompts were recorded then.")
		return
	case len(r.ghosts) == 0:
		put(plain, 0, fmt.Sprintf("All %d prompts as they were shown then.", r.sum.then))
		return
	}
	put(plain, 0, fmt.Sprintf("%d prompts then, %d today; they differ here:", r.sum.then, r.sum.today))
	for _, g := range r.ghosts {
		put(plain, 2, g.words(sc.unit, sc.words))
	}
}
