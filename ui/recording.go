package ui

import (
	"slices"
	"sort"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

// recording is what one reading-through of a tape leaves: the chart's memory,
// the times at which something happened, and the summary.
type recording struct {
	hist   *History
	end    time.Duration
	reads  []uint32        // ms, times of the readings
	stops  []time.Duration // times of marks and prompts, ascending
	ghosts []ghost
	sum    summary

	verdict *sessions.Verdict // nil when nobody reviewed it
	list    cursor            // the finding that Enter goes to
}

// ghost is a prompt that the cook was shown at the time and that today's fold
// does not raise at that moment, or the other way round.
type ghost struct {
	at     time.Duration
	prompt plateau.Prompt
	text   string // as it was shown then
	then   bool   // shown then; else raised only today
	moved  time.Duration
	both   bool // the same prompt was raised moved later (or, negative, earlier) today
}

type promptAt struct {
	at   time.Duration
	p    plateau.Prompt
	text string
}

func readThrough(t Tape) *recording {
	r := &recording{hist: NewHistory(), end: t.End()}
	r.sum.target = t.Config().Target
	var today, then []promptAt
	t.Each(func(in plateau.Input, a plateau.Advice) bool {
		r.hist.Add(in, a)
		r.sum.add(in, a)
		if in.Kind == plateau.Measured {
			r.reads = append(r.reads, uint32(in.At.Milliseconds()))
		}
		if in.Kind == plateau.Marked {
			r.stops = append(r.stops, in.At)
		}
		for p := range a.Began.All {
			today = append(today, promptAt{at: in.At, p: p})
			r.stops = append(r.stops, in.At)
		}
		return true
	})
	t.Recorded(func(at time.Duration, p plateau.Prompt, text string) bool {
		then = append(then, promptAt{at, p, Clean(text)})
		return true
	})
	if len(then) > 0 { // else nobody was shown anything, as in an imported batch
		r.ghosts = differences(then, today)
	}
	for _, g := range r.ghosts {
		r.stops = append(r.stops, g.at)
	}
	slices.Sort(r.stops)
	r.stops = slices.Compact(r.stops)
	r.sum.then, r.sum.today = len(then), len(today)
	return r
}

// apart is how far a prompt may move and still count as the same one.
const apart = 3 * time.Minute

// differences pairs the prompts of then with today's: first those at the same
// moment, which are no difference, then the nearest of the same kind.
func differences(then, today []promptAt) []ghost {
	usedThen, usedToday := make([]bool, len(then)), make([]bool, len(today))
	var out []ghost
	pair := func(within time.Duration) {
		for i, a := range then {
			if usedThen[i] {
				continue
			}
			best := -1
			for k, b := range today {
				if d := (b.at - a.at).Abs(); b.p == a.p && !usedToday[k] && d <= within &&
					(best < 0 || d < (today[best].at-a.at).Abs()) {
					best = k
				}
			}
			if best < 0 {
				continue
			}
			usedThen[i], usedToday[best] = true, true
			if d := today[best].at - a.at; d != 0 {
				out = append(out, ghost{at: a.at, prompt: a.p, text: a.text, then: true, both: true, moved: d})
			}
		}
	}
	pair(0)
	pair(apart)
	for i, a := range then {
		if !usedThen[i] {
			out = append(out, ghost{at: a.at, prompt: a.p, text: a.text, then: true})
		}
	}
	for k, b := range today {
		if !usedToday[k] {
			out = append(out, ghost{at: b.at, prompt: b.p})
		}
	}
	slices.SortStableFunc(out, func(a, b ghost) int { return int((a.at - b.at) / time.Millisecond) })
	return out
}

// reading returns the time of the next or previous reading.
func (r *recording) reading(from time.Duration, dir int) time.Duration {
	ms := uint32(from.Milliseconds())
	i := sort.Search(len(r.reads), func(i int) bool { return r.reads[i] > ms })
	if dir < 0 {
		i = sort.Search(len(r.reads), func(i int) bool { return r.reads[i] >= ms }) - 1
	}
	if i < 0 || i >= len(r.reads) {
		if dir < 0 {
			return 0
		}
		return r.end
	}
	return time.Duration(r.reads[i]) * time.Millisecond
}

// event returns the time of the next or previous mark or prompt.
func (r *recording) event(from time.Duration, dir int) time.Duration {
	if dir > 0 {
		for _, t := range r.stops {
			if t > from {
				return t
			}
		}
		return r.end
	}
	for i := len(r.stops) - 1; i >= 0; i-- {
		if r.stops[i] < from {
			return r.stops[i]
		}
	}
	return 0
}

// near returns the difference that matters at a moment: the last one of the
// minute before it.
func (r *recording) near(at time.Duration) (ghost, bool) {
	for i := len(r.ghosts) - 1; i >= 0; i-- {
		if g := r.ghosts[i]; g.at <= at && at-g.at < time.Minute {
			return g, true
		}
	}
	return ghost{}, false
}

// words tells a difference.
func (g ghost) words(u probe.Unit, _ sentences) string {
	name := g.prompt.String()
	switch {
	case !g.then:
		return name + " at " + clock(g.at) + " is new: it was not shown then"
	case g.both && g.moved > 0:
		return name + " was shown at " + clock(g.at) + ", today " + long(g.moved) + " later: " + g.text
	case g.both:
		return name + " was shown at " + clock(g.at) + ", today " + long(-g.moved) + " earlier: " + g.text
	}
	return name + " was shown at " + clock(g.at) + ", today it is not: " + g.text
}
