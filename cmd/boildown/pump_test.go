package main

import (
	"context"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

// memory is a recorder that keeps what it is told.
type memory struct {
	mu      sync.Mutex
	inputs  []plateau.Input
	prompts []string
	sources []string
	status  sessions.Status
}

func (m *memory) Input(in plateau.Input) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.inputs = append(m.inputs, in)
}

func (m *memory) Prompt(_ time.Duration, p plateau.Prompt, text string) {
	m.prompts = append(m.prompts, p.String()+": "+text)
}
func (m *memory) Source(_ time.Duration, link probe.Link, text string) {
	m.sources = append(m.sources, link.String()+": "+text)
}
func (m *memory) Status() sessions.Status { return m.status }

// kinds are the kinds of the inputs with their times in seconds.
func (m *memory) at(kind plateau.Kind) (seconds []float64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, in := range m.inputs {
		if in.Kind == kind {
			seconds = append(seconds, in.At.Seconds())
		}
	}
	return seconds
}

// pumping runs a pump in a bubble of simulated time and lets drive use it.
func pumping(t *testing.T, m *memory, speed float64, drive func(p *pump), watch ...watcher) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		began := time.Now()
		clock := newClock(func() time.Duration { return time.Since(began) }, 0, speed)
		p := newPump(clock, plateau.Start(freshConfig()), 0, m, probe.UnitF)
		p.watch = watch
		crew := newCrew(t.Context())
		crew.start("pump", p.run)
		drive(p)
		synctest.Wait()
		crew.stop()
	})
}

// line sends a reading stamped now.
func line(p *pump, c float64) {
	p.emit(context.Background(), probe.Event{HasReading: true, Reading: probe.Reading{At: p.clock.now(), C: probe.Celsius(c)}})
}

func TestPumpSilence(t *testing.T) {
	m := &memory{}
	pumping(t, m, 1, func(p *pump) {
		time.Sleep(7 * time.Second)
		line(p, 20)
		time.Sleep(11 * time.Second)
		synctest.Wait()
		if got, want := m.at(plateau.Silent), []float64{5, 12, 17}; !slices.Equal(got, want) {
			t.Errorf("silences at %v s, want %v: one for each 5 s without a line", got, want)
		}
		if s := p.Snapshot(); s.Silent != 11*time.Second || s.At != 18*time.Second {
			t.Errorf("snapshot is silent for %v at %v, want 11s at 18s", s.Silent, s.At)
		}
	})
}

// A batch that runs faster than life does not take a machine that is busy for
// a lost probe: it waits.
func TestPumpSilenceAtSpeed(t *testing.T) {
	m := &memory{}
	pumping(t, m, 20, func(p *pump) {
		for range 3 {
			time.Sleep(100 * time.Millisecond)
			p.clock.tick()
			line(p, 20)
		}
		time.Sleep(time.Minute)
		synctest.Wait()
		if got := m.at(plateau.Silent); len(got) != 0 {
			t.Errorf("silences at %v s of the batch, want none", got)
		}
		if got, want := p.Snapshot().At, 6*time.Second+leap; got != want {
			t.Errorf("the batch stands at %v, want %v", got, want)
		}
	})
}

func TestPumpLostLinkIsNoLine(t *testing.T) {
	m := &memory{}
	pumping(t, m, 1, func(p *pump) {
		line(p, 20)
		for range 12 { // a source that says each second that the probe is gone
			time.Sleep(time.Second)
			p.emit(context.Background(), probe.Event{Link: probe.LinkLost, Note: "unplugged", HasReading: true,
				Reading: probe.Reading{At: p.clock.now(), Fault: probe.FaultGone}})
		}
		synctest.Wait()
		if got, want := m.at(plateau.Silent), []float64{5, 10}; !slices.Equal(got, want) {
			t.Errorf("silences at %v s, want %v", got, want)
		}
		if s := p.Snapshot(); s.Linked || s.Note != "unplugged" {
			t.Errorf("snapshot says linked %v, note %q", s.Linked, s.Note)
		}
		if len(m.sources) != 12 {
			t.Errorf("%d notes of the source are on record, want 12", len(m.sources))
		}
		line(p, 21)
		synctest.Wait()
		if s := p.Snapshot(); !s.Linked || s.Note != "" {
			t.Errorf("after a good line the snapshot says linked %v, note %q", s.Linked, s.Note)
		}
	})
}

// Two goroutines may stamp in one order and be heard in the other. What is
// recorded and stepped never runs backwards all the same.
func TestPumpTimeNeverRunsBackwards(t *testing.T) {
	m := &memory{}
	pumping(t, m, 1, func(p *pump) {
		dice := rand.New(rand.NewPCG(1, 2))
		for range 500 {
			time.Sleep(time.Duration(dice.IntN(7000)) * time.Millisecond)
			at := p.clock.now() - time.Duration(dice.IntN(3000))*time.Millisecond
			p.emit(context.Background(), probe.Event{HasReading: true, Reading: probe.Reading{At: at, C: 100}})
			if dice.IntN(3) == 0 {
				p.Tell(plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkNote, Text: "x"})
			}
		}
		synctest.Wait()
		if !slices.IsSortedFunc(m.inputs, func(a, b plateau.Input) int { return int(a.At - b.At) }) {
			t.Error("inputs run backwards in time")
		}
		if n := len(m.at(plateau.Measured)); n != 500 {
			t.Errorf("%d readings on record, want all 500", n)
		}
	})
}

func TestPumpMarkComesAfterTheLinesBeforeIt(t *testing.T) {
	m := &memory{}
	pumping(t, m, 1, func(p *pump) {
		time.Sleep(2 * time.Second)
		for c := range 100 {
			line(p, float64(c))
		}
		p.Tell(plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkMeltStart})
		synctest.Wait()
		last := m.inputs[len(m.inputs)-1]
		if len(m.inputs) != 101 || last.Kind != plateau.Marked || last.At != 2*time.Second {
			t.Errorf("%d inputs, the last of kind %v at %v; want the mark last, at 2s", len(m.inputs), last.Kind, last.At)
		}
	})
}

func TestPumpRecordsBeforeItSteps(t *testing.T) {
	m := &memory{}
	pumping(t, m, 1, func(p *pump) {
		line(p, 20)
		line(p, 21)
	}, func(in plateau.Input, _ plateau.Advice) {
		if last := m.inputs[len(m.inputs)-1]; last != in {
			t.Errorf("stepped %+v while the last on record is %+v", in, last)
		}
	})
}

// What is on record, stepped again, says what was said live.
func TestPumpRecordReplaysAlike(t *testing.T) {
	var live []plateau.Advice
	m := &memory{}
	pumping(t, m, 1, func(p *pump) {
		for s := range 1200 {
			time.Sleep(time.Second)
			if s%97 > 8 {
				line(p, min(20+0.3*float64(s), 104)+0.1/3)
			}
			if s == 400 {
				p.Tell(plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkCreamEnd})
			}
		}
	}, func(_ plateau.Input, a plateau.Advice) { live = append(live, a) })
	state := plateau.Start(freshConfig())
	for i, in := range m.inputs {
		var a plateau.Advice
		if state, a = plateau.Step(state, in); a != live[i] {
			t.Fatalf("input %d (%+v): replay says %+v, live said %+v", i, in, a, live[i])
		}
	}
	if len(live) < 1000 || len(live) != len(m.inputs) {
		t.Fatalf("%d steps live, %d inputs on record", len(live), len(m.inputs))
	}
}

func TestPumpTellNeverBlocks(t *testing.T) {
	p := newPump(newClock(uptime, 0, 1), plateau.Start(freshConfig()), 0, &memory{}, probe.UnitF)
	for range 10_000 { // nobody pumps
		p.Tell(plateau.Input{Kind: plateau.Acknowledged})
	}
}
