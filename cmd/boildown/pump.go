package main

import (
	"context"
	"slices"
	"sync"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
	"boildown/ui"
)

// recorder keeps what the fold is told. It never blocks.
type recorder interface {
	Input(in plateau.Input)
	Prompt(at time.Duration, p plateau.Prompt, text string)
	Source(at time.Duration, link probe.Link, text string)
	Side(channel string, r probe.Reading)
	Status() sessions.Status
}

// watcher is told of every step, on the pump's goroutine: it must not block.
type watcher func(in plateau.Input, a plateau.Advice)

// pump owns the fold of a live batch. One goroutine takes the probe's events,
// the cook's marks and the silence between lines, stamps them with one clock,
// hands each to the recorder and then to the fold, and leaves a snapshot for
// the screen. It waits for nobody.
type pump struct {
	clock  *clock
	rec    recorder
	unit   probe.Unit
	hist   *ui.History
	watch  []watcher
	news   func(at time.Duration, note string) // told what the source says; may be nil
	events chan probe.Event
	told   chan plateau.Input

	state  plateau.State
	at     time.Duration // of the last input
	silent time.Duration // when the next silence is due
	sum    sessions.Summary

	mu     sync.Mutex // guards snap
	snap   ui.Snapshot
	line   time.Duration // batch time of the last line
	sleepy string        // see mayFallAsleep
	word   string        // of something else than the probe that is not as it should be, "" for nothing
}

func newPump(clock *clock, state plateau.State, at time.Duration, rec recorder, unit probe.Unit) *pump {
	return &pump{
		clock: clock, rec: rec, unit: unit, state: state, at: at,
		hist:   ui.NewHistory(),
		events: make(chan probe.Event, 1024),
		told:   make(chan plateau.Input, 256),
		silent: at + sessions.SilenceAfter,
		line:   at,
	}
}

// emit takes an event from a source.
func (p *pump) emit(ctx context.Context, e probe.Event) {
	select {
	case p.events <- e:
	case <-ctx.Done():
	}
}

// Tell takes what the cook says. The queue is longer than a second of the
// fastest typing, so a full one means a pump that has ended.
func (p *pump) Tell(in plateau.Input) {
	select {
	case p.told <- in:
	default:
	}
}

// Snapshot returns the batch as it stands now.
func (p *pump) Snapshot() ui.Snapshot {
	now := p.clock.now()
	p.mu.Lock()
	defer p.mu.Unlock()
	s := p.snap
	s.At = now
	s.Silent = max(now-p.line, 0)
	if s.Aside = p.word; s.Aside == "" && s.Advice.Phase == plateau.Wait {
		s.Aside = p.sleepy // nothing is on the heat yet
	}
	kept := p.rec.Status()
	s.Recording, s.Unsynced, s.RecordErr = true, kept.Unsynced, ""
	if kept.Err != nil {
		s.RecordErr = kept.Err.Error()
	}
	return s
}

// run pumps until ctx ends.
func (p *pump) run(ctx context.Context) {
	timer := time.NewTimer(p.untilSilence())
	defer timer.Stop()
	for {
		select {
		case <-ctx.Done():
			p.drain() // what has arrived belongs to the batch
			return
		case e := <-p.events:
			p.event(e)
		case in := <-p.told:
			p.drain() // lines that came before the key count before it
			in.At = p.clock.now().Round(time.Millisecond)
			p.step(in)
		case <-timer.C:
			p.drain()
			p.silence(p.clock.now())
		}
		timer.Reset(p.untilSilence())
	}
}

// untilSilence is how long to wait, in life, for the next silence.
func (p *pump) untilSilence() time.Duration {
	return max(p.clock.real(p.silent-p.clock.now()), time.Millisecond)
}

// drain takes the events that are waiting now.
func (p *pump) drain() {
	for range len(p.events) {
		p.event(<-p.events)
	}
}

func (p *pump) event(e probe.Event) {
	if e.Channel != "" {
		p.side(e)
		return
	}
	line := e.HasReading && e.Reading.Fault != probe.FaultGone
	if e.HasReading {
		in := plateau.Reading(e.Reading)
		p.silence(in.At - 1) // silences that were due before this line
		if line {
			p.silent = max(in.At, p.at) + sessions.SilenceAfter
		}
		p.step(in)
	}
	if e.Note != "" || e.Link != probe.LinkSame {
		p.rec.Source(p.at, e.Link, e.Note)
		if p.news != nil && e.Note != "" {
			p.news(p.at, e.Note)
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if line {
		p.line, p.snap.Linked = p.at, true
		if e.Note == "" && e.Reading.Fault == probe.FaultNone {
			p.snap.Note = ""
		}
	}
	if e.Link != probe.LinkSame {
		p.snap.Linked = e.Link == probe.LinkUp
	}
	if e.Note != "" {
		p.snap.Note = e.Note
	}
}

// side keeps and shows a reading of another channel. The fold never hears of it.
func (p *pump) side(e probe.Event) {
	if e.Note != "" {
		p.rec.Source(p.at, probe.LinkSame, e.Channel+": "+e.Note)
		if p.news != nil {
			p.news(p.at, e.Channel+": "+e.Note)
		}
	}
	if !e.HasReading {
		return
	}
	p.rec.Side(e.Channel, e.Reading)
	p.mu.Lock()
	defer p.mu.Unlock()
	is := ui.Side{Name: e.Channel, C: e.Reading.C, Fault: e.Reading.Fault}
	sides := slices.Clone(p.snap.Sides) // a snapshot that was handed out holds the old ones
	for i := range sides {
		if sides[i].Name == is.Name {
			sides[i] = is
			p.snap.Sides = sides
			return
		}
	}
	p.snap.Sides = append(sides, is)
}

// sideWords are the other channels in small print.
func (p *pump) sideWords(u probe.Unit) (words string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, s := range p.snap.Sides {
		words += ", " + s.Words(u)
	}
	return words
}

// ended says that nothing more will come and why.
func (p *pump) ended(note string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.snap.Ended, p.snap.Note = true, note
}

// remark keeps in view what is wrong with something else than the probe, until
// it is called with "".
func (p *pump) remark(note string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.word = note
}

// mayFallAsleep keeps in view until the melt begins, and on record, that the
// machine may fall asleep while it cooks.
func (p *pump) mayFallAsleep(ctx context.Context, note string) {
	p.emit(ctx, probe.Event{Note: note})
	p.mu.Lock()
	defer p.mu.Unlock()
	p.sleepy = note
}

// silence steps every silence that is due by now.
func (p *pump) silence(now time.Duration) {
	for p.silent <= now {
		p.step(plateau.Input{Kind: plateau.Silent, At: p.silent})
		p.silent += sessions.SilenceAfter
	}
}

// step records an input and folds it. Time never runs backwards here: two
// goroutines may stamp in one order and be heard in the other.
func (p *pump) step(in plateau.Input) {
	in.At = max(in.At, p.at)
	in = sessions.Rounded(in)
	p.rec.Input(in)
	var a plateau.Advice
	p.state, a = plateau.Step(p.state, in)
	p.at = in.At
	for prompt := range a.Began.All {
		p.rec.Prompt(in.At, prompt, prompt.Text(a, p.unit))
	}
	p.hist.Add(in, a)
	p.sum.Add(in, a)
	p.mu.Lock()
	p.snap.Advice = a
	p.mu.Unlock()
	for _, w := range p.watch {
		w(in, a)
	}
}
