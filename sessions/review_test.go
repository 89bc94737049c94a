package sessions

import (
	"flag"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

func said(v Verdict) string {
	var b strings.Builder
	fmt.Fprintln(&b, v.Summary)
	for _, f := range v.Findings {
		fmt.Fprintf(&b, "  %s %s %.1f at %s: %s\n", f.Level, f.Kind, f.Harm, clock(f.At), f.What)
	}
	return b.String()
}

var goodBatches = flag.Uint64("good", 12, "how many good batches to review")

// Good batches of different pots: nothing above a note. It was tried with 50.
func TestReviewOfGoodBatches(t *testing.T) {
	for seed := range *goodBatches {
		k := newKitchen(seed)
		k.pot.Watts *= 0.9 + 0.2*float64(seed%5)/4
		k.pot.Probe.Noise *= 0.5 + float64(seed%3)/2
		k.pot.Probe.Every = time.Second
		if v := Review(k.session(), Usual{}); !v.Good() || !strings.HasPrefix(v.Summary, "A good batch") {
			t.Errorf("seed %d: %s", seed, said(v))
		}
	}
}

// mishaps are what can go wrong, each with the finding that must name it.
var mishaps = []struct {
	kind string
	name string
	do   func(k *kitchen)
	mend func(s *Session) // what is done to the record afterwards
	have Usual
}{
	{kind: "over-target", name: "pulled half a minute late", do: func(k *kitchen) { k.cook.Reaction = 30 * time.Second }},
	{kind: "slow-pull", name: "a slow hand", do: func(k *kitchen) { k.cook.Reaction = 20 * time.Second }},
	{kind: "scorch", name: "forgotten on the heat", do: func(k *kitchen) { k.delay("pull", 4*time.Minute) }},
	{kind: "pulled-early", name: "pulled at 228 °F", do: func(k *kitchen) { k.cook.Target = probe.Fahrenheit(228) }},
	{kind: "no-pull", name: "the record ends on the heat", do: func(k *kitchen) {
		k.marks = without("pull", "dip")
		k.limit = 21 * time.Minute
	}},
	{kind: "heat-not-lowered", name: "the knob is never touched", do: func(k *kitchen) { k.marks = without("heat-down") }},
	{kind: "steep-pull", name: "full heat of a strong hob", do: func(k *kitchen) {
		k.marks = without("heat-down")
		k.pot.Watts *= 1.7
	}},
	{kind: "heat-up", name: "impatience on the climb", do: func(k *kitchen) {
		k.marks = func(at time.Duration, word string) []plateau.Input {
			if word == "heat-down" {
				return []plateau.Input{mark(at, "heat-up")}
			}
			return []plateau.Input{mark(at, word)}
		}
	}},
	{kind: "cream-fast", name: "cold cream all at once", do: func(k *kitchen) {
		k.pot.CreamC, k.pot.PortionG, k.pot.PortionGap = 4, 400, 2*time.Second
	}},
	{kind: "melt-hot", name: "the melt runs away", do: func(k *kitchen) { k.mishap = during("melt-start", "cream-start", k, hotter(18)) }},
	{kind: "melt-long", name: "a weak flame under the sugar", do: func(k *kitchen) { k.pot.Watts *= 0.36 }},
	{kind: "grain-likely", name: "cream into clumps", do: func(k *kitchen) {
		k.marks = func(at time.Duration, word string) []plateau.Input {
			switch word {
			case "cream-start":
				return []plateau.Input{mark(at, "look:clumps"), mark(at, word)}
			case "look:clear", "crystals-gone":
				return nil
			}
			return []plateau.Input{mark(at, word)}
		}
	}},
	{kind: "grain", name: "the outcome says grain", mend: func(s *Session) { s.Label.Outcome.Grain = true }},
	{kind: "dip-hot", name: "dipped at once", do: func(k *kitchen) { k.delay("dip", -1) }},
	{kind: "dip-late", name: "dipped after a phone call", do: func(k *kitchen) { k.delay("dip", 6*time.Minute) }},
	{kind: "blind-pull", name: "plug out near the target", do: func(k *kitchen) {
		k.mishap = func(at time.Duration, p *pot.Pot, r *probe.Reading) {
			if p.True() > probe.Fahrenheit(230) && p.OnHeat() {
				r.Fault = probe.FaultGone
			}
		}
	}},
	{kind: "gap", name: "plug out for a minute of the stall", do: func(k *kitchen) {
		k.mishap = func(at time.Duration, _ *pot.Pot, r *probe.Reading) {
			if at > 13*time.Minute && at < 14*time.Minute {
				r.Fault = probe.FaultOpen
			}
		}
	}},
	{kind: "doubtful", name: "a loose contact", do: func(k *kitchen) {
		k.mishap = func(at time.Duration, _ *pot.Pot, r *probe.Reading) {
			if at.Milliseconds()/1000%9 == 0 {
				r.Fault = probe.FaultGarbled
			}
		}
	}},
	{kind: "carry-over", name: "set down on a hot plate", do: func(k *kitchen) {
		off := time.Duration(0)
		k.mishap = func(at time.Duration, p *pot.Pot, r *probe.Reading) {
			if p.OnHeat() || p.JugG() > 0 {
				off = at
			}
			r.C += probe.Celsius(min((at-off).Seconds()*0.1, 4))
		}
	}},
	{kind: "not-rising", name: "the flame too low", do: func(k *kitchen) {
		low := false
		k.mishap = func(at time.Duration, p *pot.Pot, _ *probe.Reading) {
			if !low && p.JugG() == 0 && p.True() > probe.Fahrenheit(222) {
				low = true
				p.SetHeat(0.08)
			}
			if low && at > 26*time.Minute {
				p.SetHeat(0.8)
			}
		}
	}},
	{kind: "stall-long", name: "more water than usual", have: Usual{N: 5, Stall: 3 * time.Minute}},
	{kind: "stall-short", name: "less water than usual", have: Usual{N: 5, Stall: 20 * time.Minute}},
	{kind: "forecast-misled", name: "the knob turned in secret", do: func(k *kitchen) {
		k.mishap = func(at time.Duration, p *pot.Pot, _ *probe.Reading) {
			if p.Boiling() && p.OnHeat() && at%(3*time.Minute) == 0 {
				p.SetHeat(map[bool]float64{true: 1, false: 0.35}[at%(6*time.Minute) == 0])
			}
		}
	}},
	{kind: "resumed", name: "the program broke off", mend: func(s *Session) {
		s.Records = append(s.Records, Record{Kind: InputRecord, At: s.End(), Input: plateau.Input{Kind: plateau.Resumed, At: s.End()}})
	}},
	{kind: "lost", name: "the disk was full", mend: func(s *Session) {
		s.Records = append(s.Records, Record{Kind: LostRecord, At: time.Minute, Count: 7, Text: "7 lines found no room"})
	}},
	{kind: "damaged", name: "a damaged file", mend: func(s *Session) { s.Damage = []Damage{{Line: 9}} }},
	{kind: "no-target", name: "nothing to aim at", do: func(k *kitchen) { k.header.Config.Target = 0 }},
}

// without leaves marks out: the cook neither does nor tells them.
func without(words ...string) func(at time.Duration, word string) []plateau.Input {
	return func(at time.Duration, word string) []plateau.Input {
		if slices.Contains(words, word) {
			return nil
		}
		return []plateau.Input{mark(at, word)}
	}
}

// during applies a mishap between two marks of the cook.
func during(from, to string, k *kitchen, do func(*probe.Reading)) func(time.Duration, *pot.Pot, *probe.Reading) {
	on := false
	k.marks = func(at time.Duration, word string) []plateau.Input {
		on = word == from || on && word != to
		return []plateau.Input{mark(at, word)}
	}
	return func(_ time.Duration, _ *pot.Pot, r *probe.Reading) {
		if on {
			do(r)
		}
	}
}

func hotter(k probe.Celsius) func(*probe.Reading) {
	return func(r *probe.Reading) { r.C += k }
}

// delay lets a mark come later than the cook would give it; a dip with a
// negative delay comes 15 s after the pull.
func (k *kitchen) delay(late string, by time.Duration) {
	due := time.Duration(-1)
	k.tail += max(by, 0)
	k.marks = func(at time.Duration, word string) []plateau.Input {
		if word == "pull" && by < 0 {
			due = at + 15*time.Second
		}
		if word == late {
			if by >= 0 {
				due = at + by
			}
			return nil
		}
		return []plateau.Input{mark(at, word)}
	}
	k.extra = func(at time.Duration) []plateau.Input {
		if due >= 0 && at == due {
			return []plateau.Input{mark(at, late)}
		}
		return nil
	}
}

// plainBatch is a batch without a mishap, cooked once; the copy's records are
// shared, so they may be added to but not changed.
func plainBatch() *Session {
	s := *plainOnce()
	s.Records = slices.Clip(s.Records)
	return &s
}

var plainOnce = sync.OnceValue(func() *Session {
	k := newKitchen(7)
	k.pot.Probe.Every = time.Second
	return k.session()
})

func TestReviewFindsMishaps(t *testing.T) {
	for _, m := range mishaps {
		t.Run(m.name, func(t *testing.T) {
			s := plainBatch()
			if m.do != nil {
				k := newKitchen(7)
				k.pot.Probe.Every = time.Second
				m.do(&k)
				s = k.session()
			}
			if m.mend != nil {
				m.mend(s)
			}
			v := Review(s, m.have)
			i := slices.IndexFunc(v.Findings, func(f Finding) bool { return f.Kind == m.kind })
			if i < 0 {
				t.Fatalf("no finding %q: %s", m.kind, said(v))
			}
			f := v.Findings[i]
			if f.What == "" || f.Against == "" || f.Why == "" || f.Next == "" || f.At < 0 || f.At > s.End() {
				t.Errorf("half a finding: %+v", f)
			}
			if !slices.IsSortedFunc(v.Findings, func(a, b Finding) int { return int(b.Level) - int(a.Level) }) {
				t.Errorf("not in order of harm: %s", said(v))
			}
		})
	}
}

// What is too steep depends on the hand: a slope that a quick one can follow
// is held against a slow one.
func TestSteepPullIsMeasuredByTheCooksReaction(t *testing.T) {
	for _, tt := range []struct {
		reaction time.Duration
		want     bool
	}{{2 * time.Second, false}, {30 * time.Second, true}} {
		k := newKitchen(1)
		k.pot.Probe.Every = time.Second
		k.header.Config.Reaction = tt.reaction
		v := Review(k.session(), Usual{})
		got := slices.ContainsFunc(v.Findings, func(f Finding) bool { return f.Kind == "steep-pull" })
		if got != tt.want {
			t.Errorf("reaction of %v: %s", tt.reaction, said(v))
		}
	}
}

func TestUsualOfARecipe(t *testing.T) {
	shelf := []Entry{
		{Name: "a", Recipe: "soft", Stall: 7 * time.Minute}, {Name: "b", Recipe: "soft", Stall: 9 * time.Minute},
		{Name: "c", Recipe: "soft", Stall: 8 * time.Minute}, {Name: "d", Recipe: "rods", Stall: time.Minute},
		{Name: "e", Recipe: "soft"},
	}
	if got, want := UsualOf(shelf, "soft", ""), (Usual{N: 3, Stall: 8 * time.Minute}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if got := UsualOf(shelf, "soft", "a"); got.N != 2 {
		t.Errorf("the batch itself is counted: %+v", got)
	}
	if got := UsualOf(shelf, "", ""); got.N != 0 {
		t.Errorf("batches without a recipe share a habit: %+v", got)
	}
}

// A batch of an hour at 1 Hz, which is to be reviewed in under 100 ms.
func BenchmarkReview(b *testing.B) {
	k := newKitchen(1)
	k.pot.Probe.Every, k.tail = time.Second, time.Hour
	s := k.session()
	cpu := cpuTime()
	for b.Loop() {
		Review(s, Usual{})
	}
	b.ReportMetric(float64((cpuTime()-cpu).Microseconds())/1e3/float64(b.N), "cpu-ms/op")
	b.ReportMetric(float64(len(s.Records)), "records")
}
