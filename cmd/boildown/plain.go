package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// plainEvery is the pause between two readings in plain lines, batch time.
const plainEvery = 10 * time.Second

// plain prints a batch as lines of text, for a pipe, a log or a screen reader:
// one for each event and one for each ten seconds. Prompts are set apart by
// capitals, since there is no colour to do it.
type plain struct {
	out  io.Writer
	unit probe.Unit
	also func() string // the other channels, each after a comma; nil for none

	next  time.Duration
	phase plateau.Phase
	begun bool
}

// watch is the printer's [watcher].
func (p *plain) watch(in plateau.Input, a plateau.Advice) {
	if in.Kind != plateau.Measured && in.Kind != plateau.Silent {
		p.line(in.At, "mark", inputWords(in, p.unit))
	}
	if a.Phase != p.phase || !p.begun {
		p.phase, p.begun = a.Phase, true
		p.line(in.At, "phase", a.Phase.String())
	}
	for prompt := range a.Began.All {
		p.line(in.At, strings.ToUpper(prompt.String()), prompt.Text(a, p.unit))
	}
	if in.At >= p.next {
		p.next = in.At.Truncate(plainEvery) + plainEvery
		words := reading(a, p.unit)
		if p.also != nil {
			words += p.also()
		}
		p.line(in.At, "", words)
	}
}

// news prints what the source says of itself.
func (p *plain) news(at time.Duration, note string) { p.line(at, "probe", note) }

func (p *plain) line(at time.Duration, what, words string) {
	if what != "" {
		what += ": "
	}
	fmt.Fprintf(p.out, "%s  %s%s\n", clockTime(at), what, oneLine(words))
}

// reading is one line's worth of advice: temperature, phase, what is left.
func reading(a plateau.Advice, u probe.Unit) string {
	words := "no reading"
	if a.HasNow {
		words = u.Temp(a.Now, 1)
	}
	if a.Fault != probe.FaultNone {
		words += " (" + a.Fault.String() + ")"
	}
	words += ", " + a.Phase.String()
	switch f := a.Forecast; {
	case f.Ok():
		latest := "to " + clockTime(f.High)
		if f.Open() {
			latest = "or more"
		}
		words += fmt.Sprintf(", %s in %s (%s %s)", u.Temp(a.Target, 0), clockTime(f.ETA), clockTime(f.Low), latest)
		if f.Guess {
			words += " guessed"
		}
	case a.Why != plateau.WhyNot:
		words += ", no forecast: " + a.Why.String()
	}
	return words
}

// inputWords says what the cook told.
func inputWords(in plateau.Input, u probe.Unit) string {
	switch in.Kind {
	case plateau.Marked:
		words := in.Mark.String()
		if in.Text != "" {
			words += " " + in.Text
		}
		if in.Ago > 0 {
			words += ", " + clockTime(in.Ago) + " ago"
		}
		return words
	case plateau.Retargeted:
		return "target " + u.Temp(in.Target, 1)
	case plateau.Acknowledged:
		return "heard"
	case plateau.Undone:
		return "last mark undone"
	case plateau.Resumed:
		return "going on after a break"
	}
	return ""
}

// clockTime writes a stretch of time as 4:05 or 1:04:05.
func clockTime(d time.Duration) string {
	s := int(d.Round(time.Second).Seconds())
	if s < 0 {
		s = 0
	}
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}
