package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"boildown/probe"
)

// errStopped ends a guided measurement because the person said so.
var errStopped = errors.New("stopped; nothing was kept")

// bench is a guided measurement: a probe, someone who moves it from bath to
// bath and answers with Enter, and lines that say how it goes. It stands on
// plain lines, so that it works in a pipe and with a reader of screens.
type bench struct {
	out    io.Writer
	unit   probe.Unit
	typed  <-chan string      // closed where the input ends
	events <-chan probe.Event // closed where the source ends
	move   func(probe.Celsius)

	typing, reading *probe.Errand // over when typed or events is closed; a panic of theirs goes on where that is seen
}

// bathSource is a simulated probe that has to be told which bath it is in.
type bathSource interface {
	Into(t probe.Celsius)
}

// newBench reads src until ctx ends. The reader of what is typed ends with the
// input.
func newBench(ctx context.Context, in io.Reader, out io.Writer, src source, now func() time.Duration, unit probe.Unit) *bench {
	typed, events := make(chan string), make(chan probe.Event, 64)
	b := &bench{out: out, unit: unit, typed: typed, events: events, move: func(probe.Celsius) {}}
	if s, ok := src.(bathSource); ok {
		b.move = s.Into
	}
	b.typing = probe.Send(func() error {
		defer close(typed)
		for lines := bufio.NewScanner(in); lines.Scan(); {
			select {
			case typed <- lines.Text():
			case <-ctx.Done():
				return nil
			}
		}
		return nil
	})
	b.reading = probe.Send(func() error {
		defer close(events)
		return src.Run(ctx, now, func(e probe.Event) {
			select {
			case events <- e:
			case <-ctx.Done():
			}
		})
	})
	return b
}

func (b *bench) say(format string, args ...any) { fmt.Fprintf(b.out, format+"\n", args...) }

// ask says what to do and waits for an answer. What the probe says meanwhile
// is of no use, but its notes are.
func (b *bench) ask(ctx context.Context, question string) (string, error) {
	b.say("%s", question)
	for {
		select {
		case <-ctx.Done():
			return "", errStopped
		case answer, ok := <-b.typed:
			answer = strings.ToLower(strings.TrimSpace(answer))
			switch {
			case !ok:
				b.typing.Wait()
				return "", hinted(errors.New("the input ended before the measurement did; nothing was kept"), "run it in a terminal, and press Enter where it asks")
			case answer == "q":
				return "", errStopped
			}
			return answer, nil
		case e, ok := <-b.events:
			if !ok {
				return "", b.gone(ctx)
			}
			b.note(e)
		}
	}
}

// note passes on what the source has to say.
func (b *bench) note(e probe.Event) {
	if e.Note != "" {
		b.say("  %s", oneLine(e.Note))
	}
}

// gone is the error of a source that has ended.
func (b *bench) gone(ctx context.Context) error {
	err := b.reading.Wait()
	switch {
	case ctx.Err() != nil:
		return errStopped
	case err != nil:
		return hinted(fmt.Errorf("the probe cannot be read: %w", err), "boildown probes lists what is plugged in")
	}
	return errors.New("the source has ended: nothing more will come")
}

// benchPatience is how long a bath may take to become steady, on the probe's
// own clock.
const benchPatience = 10 * time.Minute

// sayEvery is how often a waiting person is told how it goes.
const sayEvery = 5 * time.Second

// read hands readings to use until it is done. How puts the wait in words.
func (b *bench) read(ctx context.Context, use func(probe.Reading) bool, how func() string) error {
	var began, said time.Duration
	first := true
	for {
		select {
		case <-ctx.Done():
			return errStopped
		case e, ok := <-b.events:
			if !ok {
				return b.gone(ctx)
			}
			b.note(e)
			if !e.HasReading {
				continue
			}
			r := e.Reading
			if first {
				began, said, first = r.At, r.At, false
			}
			if use(r) {
				return nil
			}
			if r.At-said >= sayEvery {
				said = r.At
				b.say("  %s  %s  %s", clockWords(r.At-began), readingWords(r, b.unit), how())
			}
			if r.At-began > benchPatience {
				return hinted(fmt.Errorf("the bath did not become steady in %.0f minutes: %s", benchPatience.Minutes(), how()), "boildown probes check says what the probe is good for")
			}
		}
	}
}

func readingWords(r probe.Reading, u probe.Unit) string {
	if r.Fault != probe.FaultNone {
		return r.Fault.String()
	}
	return u.Temp(r.C, 2)
}

func clockWords(d time.Duration) string {
	s := int(d.Seconds())
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// bath waits for a steady reading of one bath that fits, and returns it. Fits
// says what is wrong with a steady reading, "" for nothing; the wait then goes
// on, since there is something that the person can do about it.
func (b *bench) bath(ctx context.Context, fits func(probe.Celsius) string) (probe.Celsius, error) {
	var s steadiness
	told := ""
	err := b.read(ctx, func(r probe.Reading) bool {
		s.add(r)
		if !s.steady() {
			return false
		}
		why := fits(s.reading())
		if why != "" && why != told {
			told = why
			b.say("  steady at %s, but not accepted: %s", b.unit.Temp(s.reading(), 2), why)
		}
		return why == ""
	}, func() string { return s.words(b.unit) })
	if err != nil {
		return 0, err
	}
	t := s.reading().Rounded()
	b.say("  steady at %s: accepted", b.unit.Temp(t, 2))
	return t, nil
}
