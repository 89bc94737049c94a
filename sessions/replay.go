package sessions

import (
	"slices"
	"sort"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// Replay folds a session again and moves about in it at once: it keeps the
// fold's state at even distances, and going to a place steps from the one
// before it. It is not safe for use by several
// goroutines at a time.
type Replay struct {
	cfg      plateau.Config
	unit     probe.Unit
	fold     string // version of the fold that raised the recorded prompts
	inputs   []plateau.Input
	latest   []time.Duration // latest time among the inputs up to each
	every    int             // distance of the checkpoints, in inputs
	checks   []plateau.State // before input i·every
	recorded []Moment
	today    []Moment
	marks    []Moment

	next   int // the input that would be stepped next
	state  plateau.State
	advice plateau.Advice
}

// A batch gets at most maxChecks checkpoints, and none nearer to the next than
// minEvery inputs: some megabytes however long it is.
const (
	maxChecks = 512
	minEvery  = 64
)

// Moment is a place in a batch worth going to: a prompt that began there or a
// mark that the cook gave.
type Moment struct {
	Input    int // index among the inputs; -1 before the first
	At       time.Duration
	IsPrompt bool
	Prompt   plateau.Prompt
	Text     string
	Mark     plateau.Input // the mark, when IsPrompt is false
}

// NewReplay folds s once from its beginning to its end and stands before its
// first input.
func NewReplay(s *Session) *Replay { return NewReplayWith(s, s.Header.Config) }

// NewReplayWith is [NewReplay] with other settings than the recorded ones, as
// to ask what another target or a calibration would have changed.
func NewReplayWith(s *Session, cfg plateau.Config) *Replay {
	r := &Replay{cfg: cfg, unit: s.Header.Unit, fold: s.Header.Fold}
	for _, rec := range s.Records {
		switch rec.Kind {
		case InputRecord:
			r.inputs = append(r.inputs, rec.Input)
		case PromptRecord:
			r.recorded = append(r.recorded, Moment{Input: len(r.inputs) - 1, At: rec.At, IsPrompt: true, Prompt: rec.Prompt, Text: rec.Text})
		}
	}
	r.every = max(minEvery, (len(r.inputs)+maxChecks-1)/maxChecks)
	r.survey()
	r.rewind()
	return r
}

// survey folds the whole batch for its checkpoints and moments.
func (r *Replay) survey() {
	state := plateau.Start(r.cfg)
	end := time.Duration(0)
	r.latest = make([]time.Duration, len(r.inputs))
	for i, in := range r.inputs {
		if i%r.every == 0 {
			r.checks = append(r.checks, state)
		}
		end = max(end, in.At)
		r.latest[i] = end
		var a plateau.Advice
		state, a = plateau.Step(state, in)
		if in.Kind != plateau.Measured && in.Kind != plateau.Silent {
			r.marks = append(r.marks, Moment{Input: i, At: in.At, Mark: in})
		}
		for p := range a.Began.All {
			r.today = append(r.today, Moment{Input: i, At: in.At, IsPrompt: true, Prompt: p, Text: Rounded(noteOf(p.Text(a, r.unit))).Text})
		}
	}
}

// noteOf lets a text be rounded as a file holds it.
func noteOf(text string) plateau.Input {
	return plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkNote, Text: text}
}

func (r *Replay) rewind() {
	r.next, r.state, r.advice = 0, plateau.Start(r.cfg), plateau.Advice{Target: r.cfg.Target}
}

// Config returns what the fold is started with.
func (r *Replay) Config() plateau.Config { return r.cfg }

// Len returns how many inputs the batch has.
func (r *Replay) Len() int { return len(r.inputs) }

// End returns the time of the last input.
func (r *Replay) End() time.Duration {
	if len(r.latest) == 0 {
		return 0
	}
	return r.latest[len(r.latest)-1]
}

// Seek goes to the last input at or before at, and returns what the fold says
// there.
func (r *Replay) Seek(at time.Duration) plateau.Advice {
	return r.SeekInput(sort.Search(len(r.inputs), func(i int) bool { return r.latest[i] > at }) - 1)
}

// SeekInput goes to the input with index i, or before the first one for a
// negative i, and returns what the fold says there.
func (r *Replay) SeekInput(i int) plateau.Advice {
	target := max(min(i+1, len(r.inputs)), 0) // inputs to have stepped
	check := target / r.every
	if target < r.next || check > r.next/r.every {
		r.rewind()
		if check = min(check, len(r.checks)-1); check > 0 {
			r.next, r.state = check*r.every, r.checks[check]
			if r.next == target { // the advice is that of the input before
				r.next, r.state = r.next-r.every, r.checks[check-1]
			}
		}
	}
	for r.next < target {
		r.state, r.advice = plateau.Step(r.state, r.inputs[r.next])
		r.next++
	}
	return r.advice
}

// Here returns the index of the input that the replay stands on, -1 before
// the first, and what the fold says there.
func (r *Replay) Here() (int, plateau.Advice) { return r.next - 1, r.advice }

// Input returns the input with index i, in 0 to Len()-1.
func (r *Replay) Input(i int) plateau.Input { return r.inputs[i] }

// Each folds the batch from its beginning, apart from where the replay stands.
func (r *Replay) Each(yield func(plateau.Input, plateau.Advice) bool) {
	plateau.Fold(plateau.Start(r.cfg), slices.Values(r.inputs))(yield)
}

// Recorded yields the prompts that the cook was shown at the time, in order.
func (r *Replay) Recorded(yield func(at time.Duration, p plateau.Prompt, text string) bool) {
	for _, m := range r.recorded {
		if !yield(m.At, m.Prompt, m.Text) {
			return
		}
	}
}

// Marks returns what the cook told: marks, targets, acknowledgements, undos.
func (r *Replay) Marks() []Moment { return r.marks }

// Today returns the prompts that this program's fold raises.
func (r *Replay) Today() []Moment { return r.today }

// Next returns the first mark or prompt of today behind input i.
func (r *Replay) Next(i int) (Moment, bool) {
	var best Moment
	found := false
	for _, list := range [][]Moment{r.marks, r.today} {
		n := sort.Search(len(list), func(k int) bool { return list[k].Input > i })
		if n < len(list) && (!found || list[n].Input < best.Input) {
			best, found = list[n], true
		}
	}
	return best, found
}

// Previous returns the last mark or prompt of today before input i.
func (r *Replay) Previous(i int) (Moment, bool) {
	var best Moment
	found := false
	for _, list := range [][]Moment{r.marks, r.today} {
		n := sort.Search(len(list), func(k int) bool { return list[k].Input >= i }) - 1
		if n >= 0 && (!found || list[n].Input > best.Input) {
			best, found = list[n], true
		}
	}
	return best, found
}

// Drift is a prompt that stands on one side alone.
type Drift struct {
	Moment
	Then bool // it was shown at the time and is not raised today; else the reverse
}

// Drifts compares the prompts of the time with those of today, kind, reading
// and words. By the same version of the fold there is none.
func (r *Replay) Drifts() []Drift {
	var out []Drift
	type key struct {
		input  int
		prompt plateau.Prompt
		text   string
	}
	left := map[key]int{}
	for _, m := range r.today {
		left[key{m.Input, m.Prompt, m.Text}]++
	}
	for _, m := range r.recorded {
		k := key{m.Input, m.Prompt, m.Text}
		if left[k] > 0 {
			left[k]--
			continue
		}
		out = append(out, Drift{Moment: m, Then: true})
	}
	for _, m := range r.today {
		k := key{m.Input, m.Prompt, m.Text}
		if left[k] > 0 {
			left[k]--
			out = append(out, Drift{Moment: m})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Input < out[j].Input })
	return out
}

// SameFold reports whether the recorded prompts come from this program's
// version of the fold.
func (r *Replay) SameFold() bool { return r.fold == plateau.Version }

// Summarise folds a session for its closing summary, as for an import.
func Summarise(s *Session) Summary {
	sum := Summary{Fold: plateau.Version}
	for in, a := range plateau.Fold(plateau.Start(s.Header.Config), s.Inputs()) {
		sum.Add(in, a)
	}
	return sum
}
