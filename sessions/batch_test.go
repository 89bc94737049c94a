package sessions

import (
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// kitchen runs an invented batch in the simulated pot under a scripted cook
// and keeps what a recorder would have kept. mishap is called before each
// reading and may meddle with the pot, the cook's mark and the reading.
type kitchen struct {
	header Header
	pot    pot.Config
	cook   *pot.Cook
	marks  func(at time.Duration, word string) []plateau.Input // what the cook does and tells instead of a mark; nil for the mark itself
	mishap func(at time.Duration, p *pot.Pot, r *probe.Reading)
	extra  func(at time.Duration) []plateau.Input // told besides
	tail   time.Duration                          // how long the record goes on when the cook has done
	limit  time.Duration
}

func newKitchen(seed uint64) kitchen {
	cfg := pot.DefaultConfig()
	cfg.Seed, cfg.Probe.Every = seed, 500*time.Millisecond
	h := testHeader()
	h.Fold = plateau.Version
	h.Config = plateau.Config{Target: probe.Fahrenheit(235), Pressure: cfg.PressurePa, Lag: cfg.Probe.Lag,
		Batch: plateau.Batch{Melt: cfg.Melt, Cream: cfg.Cream, PotJK: cfg.PotJK}}
	return kitchen{header: h, pot: cfg, cook: pot.NewCook(), tail: 2 * time.Minute, limit: time.Hour}
}

// cookTo tells sink all that happens until two minutes after the cook has done.
func (k kitchen) cookTo(sink interface {
	Input(plateau.Input)
	Prompt(time.Duration, plateau.Prompt, string)
}) Summary {
	p := pot.New(k.pot)
	state := plateau.Start(k.header.Stored().Config)
	var sum Summary
	step := func(in plateau.Input) {
		in = Rounded(in)
		sink.Input(in)
		var a plateau.Advice
		state, a = plateau.Step(state, in)
		sum.Add(in, a)
		for prompt := range a.Began.All {
			sink.Prompt(in.At, prompt, prompt.Text(a, k.header.Unit))
			k.cook.Hear(prompt.String())
		}
	}
	done := time.Duration(0)
	for at := time.Duration(0); at < k.limit && (done == 0 || at < done+k.tail); at += k.pot.Probe.Every {
		p.Advance(at)
		r := p.Read()
		r.At = at
		word := k.cook.Watch(at, r, p.Look())
		if k.mishap != nil {
			k.mishap(at, p, &r)
		}
		var told []plateau.Input
		if word != "" {
			told = []plateau.Input{mark(at, word)}
			if k.marks != nil {
				told = k.marks(at, word)
			}
		}
		if k.extra != nil {
			told = append(told, k.extra(at)...)
		}
		for _, in := range told { // what is not told was not done either
			p.Told(in.Mark.String())
			step(in)
		}
		step(plateau.Reading(r))
		if k.cook.Done() && done == 0 {
			done = at
		}
	}
	return sum
}

func mark(at time.Duration, word string) plateau.Input {
	m, _ := plateau.MarkFor(word)
	return plateau.Input{Kind: plateau.Marked, At: at, Mark: m}
}

// memory is a recorder without a disk.
type memory struct{ Session }

func (m *memory) Input(in plateau.Input) {
	m.take(Record{Kind: InputRecord, At: in.At, Input: in})
}

func (m *memory) Prompt(at time.Duration, p plateau.Prompt, text string) {
	m.take(Record{Kind: PromptRecord, At: at, Prompt: p, Text: clean(text, maxText)})
}

// session cooks and returns the session without a file.
func (k kitchen) session() *Session {
	m := &memory{Session{Header: k.header.Stored()}}
	m.Summary = k.cookTo(m)
	m.Closed = true
	return &m.Session
}

// recorded cooks through a real recorder and reads its file back.
func (k kitchen) recorded(t *testing.T) *Session {
	t.Helper()
	r, err := Create(t.TempDir(), k.header)
	if err != nil {
		t.Fatal(err)
	}
	sum := k.cookTo(r)
	if err := r.Close(sum); err != nil {
		t.Fatal(err)
	}
	return mustRead(t, r.Path())
}
