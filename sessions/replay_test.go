package sessions

import (
	"slices"
	"testing"
	"time"

	"boildown/plateau"
)

// A batch cooked through the recorder raises in replay exactly the prompts
// that it raised live, at the same readings, in the same words.
func TestReplayRaisesWhatWasRecorded(t *testing.T) {
	for seed := range uint64(3) {
		s := newKitchen(seed).recorded(t)
		r := NewReplay(s)
		if drifts := r.Drifts(); len(drifts) > 0 {
			t.Errorf("seed %d: %d prompts differ, the first %+v", seed, len(drifts), drifts[0])
		}
		if len(r.Today()) == 0 || len(r.recorded) != len(r.Today()) {
			t.Errorf("seed %d: %d prompts recorded, %d today", seed, len(r.recorded), len(r.Today()))
		}
		if !r.SameFold() || r.Len() < 3000 {
			t.Errorf("seed %d: same fold %v, %d inputs", seed, r.SameFold(), r.Len())
		}
	}
}

// Wherever one goes, and from wherever, the fold says what it said in passing.
func TestSeekSaysWhatAStraightRunSays(t *testing.T) {
	s := newKitchen(1).session()
	r := NewReplay(s)
	var straight []plateau.Advice
	for _, a := range collect(r) {
		straight = append(straight, a)
	}
	n := len(straight)
	for _, i := range []int{0, 5, minEvery - 1, minEvery, minEvery + 1, 2 * minEvery, 2*minEvery - 1, 10, n - 1, minEvery - 1, n / 2, n/2 + 1, n / 2, n + 50} {
		want := straight[min(i, n-1)]
		if got := r.SeekInput(i); got != want {
			t.Errorf("input %d: got %+v, want %+v", i, got, want)
		}
		if here, a := r.Here(); here != min(i, n-1) || a != want {
			t.Errorf("after going to %d the replay stands on %d", i, here)
		}
	}
	if got := r.SeekInput(-1); got.HasC || got.Target != r.Config().Target {
		t.Errorf("before the first input: %+v", got)
	}
	at := r.Input(n / 3).At
	got := r.Seek(at)
	here, _ := r.Here()
	if r.Input(here).At != at || here < n-1 && r.Input(here+1).At <= at || got != straight[here] {
		t.Errorf("Seek(%v) stands on %d at %v", at, here, r.Input(here).At)
	}
	if r.Seek(-time.Second); r.next != 0 {
		t.Error("a time before the batch is not before its first input")
	}
}

func collect(r *Replay) []plateau.Advice {
	var out []plateau.Advice
	for _, a := range r.Each {
		out = append(out, a)
	}
	return out
}

func TestNextAndPreviousVisitEveryMoment(t *testing.T) {
	r := NewReplay(newKitchen(2).session())
	var forth, back []int
	for i, m := range moments(r, -1, r.Next) {
		if forth = append(forth, m.Input); i > 1000 {
			t.Fatal("Next goes round in circles")
		}
	}
	for _, m := range moments(r, r.Len(), r.Previous) {
		back = append(back, m.Input)
	}
	slices.Reverse(back)
	var want []int
	for _, m := range append(slices.Clone(r.Marks()), r.Today()...) {
		want = append(want, m.Input)
	}
	slices.Sort(want)
	want = slices.Compact(want)
	if !slices.Equal(forth, want) || !slices.Equal(back, want) {
		t.Errorf("forth %v\nback  %v\nwant  %v", forth, back, want)
	}
}

func moments(r *Replay, from int, next func(int) (Moment, bool)) []Moment {
	var out []Moment
	for m, ok := next(from); ok && len(out) < 2000; m, ok = next(m.Input) {
		out = append(out, m)
	}
	return out
}

func TestDriftsNameBothSides(t *testing.T) {
	s := newKitchen(1).session()
	i := slices.IndexFunc(s.Records, func(r Record) bool { return r.Kind == PromptRecord })
	if i < 0 {
		t.Fatal("no prompt in the batch")
	}
	s.Records[i].Text = "Take it off."
	d := NewReplay(s).Drifts()
	if len(d) != 2 || d[0].Then == d[1].Then || d[0].Prompt != d[1].Prompt {
		t.Errorf("drifts %+v", d)
	}
}

func TestReplayOfNothing(t *testing.T) {
	r := NewReplay(&Session{})
	if r.Seek(time.Hour); r.End() != 0 || r.Len() != 0 {
		t.Error("an empty session has inputs")
	}
	if _, ok := r.Next(-1); ok {
		t.Error("an empty session has moments")
	}
}

func BenchmarkSeek(b *testing.B) {
	r := NewReplay(newKitchen(1).session())
	b.ReportAllocs()
	for i := range b.N {
		r.SeekInput(i * 7919 % r.Len())
	}
}
