package ui

import (
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/probe"
)

// running is a live screen whose commands are carried out as they come.
type running struct {
	*live
	feed *fakeFeed
	tell *fakeTeller
	at   time.Time
	quit bool
}

func run(min float64) *running {
	m, feed, tell := fakeLive(min, NoStyle)
	r := &running{live: m, feed: feed, tell: tell, at: time.UnixMilli(0)}
	m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	r.wait(0)
	return r
}

// wait lets time pass in redraws.
func (r *running) wait(d time.Duration) {
	for end := r.at.Add(d); ; r.at = r.at.Add(200 * time.Millisecond) {
		r.take(pulled{r.at, r.feed.s})
		r.do(r.alert.again(r.live))
		if !r.at.Before(end) {
			return
		}
	}
}

func (r *running) key(keys ...string) {
	for _, k := range keys {
		_, cmd := r.Update(keyMsg(k))
		r.do(cmd)
	}
}

// do carries a command out, and what follows from it.
func (r *running) do(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, c := range msg {
			r.do(c)
		}
	case tea.QuitMsg:
		r.quit = true
	default:
		_, next := r.Update(msg)
		r.do(next)
	}
}

func (r *running) marks() []plateau.Mark {
	var out []plateau.Mark
	for _, in := range r.tell.got {
		if in.Kind == plateau.Marked {
			out = append(out, in.Mark)
		}
	}
	return out
}

func TestEveryMarkHasItsKey(t *testing.T) {
	for _, k := range markKeys {
		r := run(20)
		r.key(k.key)
		if got := r.marks(); !slices.Equal(got, []plateau.Mark{k.mark}) {
			t.Errorf("key %q marks %v, want %v", k.key, got, k.mark)
		}
		if !strings.Contains(r.View(), k.label) || !strings.Contains(r.View(), "z takes it back") {
			t.Errorf("key %q: the screen does not show the mark with its undo", k.key)
		}
		r.wait(4800 * time.Millisecond)
		if !strings.Contains(r.View(), "z takes it back") {
			t.Errorf("key %q: the mark is gone before 5 s", k.key)
		}
		r.wait(600 * time.Millisecond)
		if strings.Contains(r.View(), "z takes it back") {
			t.Errorf("key %q: the mark is on show after 5 s", k.key)
		}
	}
	// Every mark that a cook can make is on a key or typed.
	for m := plateau.MarkMeltStart; m < plateau.MarkAdded; m++ {
		if !slices.ContainsFunc(markKeys, func(k markKey) bool { return k.mark == m }) {
			t.Errorf("mark %v has no key", m)
		}
	}
}

// No two things share a key.
func TestKeysAreDistinct(t *testing.T) {
	for _, k := range markKeys {
		r := run(20)
		before := *r.live
		r.command(k.key)
		if r.mode != before.mode || r.unit != before.unit || r.view != before.view || len(r.outbox) > 0 {
			t.Errorf("key %q is a mark and a command", k.key)
		}
	}
}

func TestHeldKeyMarksOnce(t *testing.T) {
	r := run(20)
	for range 100 { // a key held for ten seconds
		r.key("d")
		r.wait(100 * time.Millisecond)
	}
	if got := r.marks(); len(got) != 1 {
		t.Errorf("a held key made %d marks", len(got))
	}
	r.wait(1500 * time.Millisecond)
	r.key("d")
	if got := r.marks(); len(got) != 2 {
		t.Errorf("after a rest the key made %d marks in all, want 2", len(got))
	}
}

func TestSecondPressWithinASecondIsIgnored(t *testing.T) {
	r := run(20)
	r.key("dd") // delivered together
	r.wait(900 * time.Millisecond)
	r.key("d")
	if got := r.marks(); len(got) != 1 {
		t.Errorf("%d marks, want 1", len(got))
	}
	r.key("u") // another key is another matter
	if got := r.marks(); len(got) != 2 {
		t.Errorf("%d marks, want 2", len(got))
	}
}

// Space and the mark's own key within a second are one mark.
func TestSpaceAndKeyAreOneMark(t *testing.T) {
	r := run(23.35)
	r.key("p", " ")
	if got := r.marks(); !slices.Equal(got, []plateau.Mark{plateau.MarkPull}) {
		t.Errorf("marks %v, want one pull", got)
	}
}

func TestSpaceDoesWhatTheStandingPromptAsks(t *testing.T) {
	for _, s := range shouts {
		r := run(20)
		r.feed.s.Advice.Standing = plateau.Prompts(0).With(s.prompt)
		r.wait(0)
		r.key(" ")
		if len(r.tell.got) != 1 {
			t.Errorf("%v: space told %v", s.prompt, r.tell.got)
			continue
		}
		in := r.tell.got[0]
		if s.ack && in.Kind != plateau.Acknowledged || !s.ack && (in.Kind != plateau.Marked || in.Mark != s.mark) {
			t.Errorf("%v: space told %+v", s.prompt, in)
		}
	}
	// Every prompt that the fold can raise has a loud line.
	for p, ok := plateau.PromptFor("swirl"); ok && p.String() != ""; p++ {
		if a := actFor(plateau.Advice{Standing: plateau.Prompts(0).With(p)}); !a.has {
			t.Errorf("prompt %v has no loud line", p)
		}
	}
}

// The most urgent of several prompts is the one on the screen, and an
// acknowledged one gives way.
func TestUrgentComesFirst(t *testing.T) {
	a := plateau.Advice{Standing: plateau.Prompts(0).With(plateau.Stir).With(plateau.PullNow).With(plateau.NearTarget)}
	if got := actFor(a); got.prompt != plateau.PullNow || got.quiet {
		t.Errorf("first %v", got.prompt)
	}
	a.Quiet = a.Quiet.With(plateau.PullNow)
	if got := actFor(a); got.prompt != plateau.NearTarget {
		t.Errorf("after the acknowledgement %v", got.prompt)
	}
	a.Quiet = a.Standing
	if got := actFor(a); got.prompt != plateau.PullNow || !got.quiet {
		t.Errorf("all acknowledged: %v, quiet %v", got.prompt, got.quiet)
	}
}

// No single key, pressed however often, ends the batch while the pot is on.
func TestNoSingleKeyEnds(t *testing.T) {
	keys := []string{"esc", "enter", "ctrl+c", "backspace", " ", "left", "end"}
	for c := rune(' '); c <= '~'; c++ {
		keys = append(keys, string(c))
	}
	for _, min := range []float64{5, 9, 15, 21, 23.35} {
		for _, k := range keys {
			r := run(min)
			for range 5 {
				r.key(k)
				r.wait(2 * time.Second)
			}
			if r.quit {
				t.Errorf("minute %v: %q alone ends the batch", min, k)
			}
			undone := slices.ContainsFunc(r.tell.got, func(in plateau.Input) bool { return in.Kind == plateau.Undone })
			if !strings.EqualFold(k, "z") && undone {
				t.Errorf("minute %v: %q takes back a mark", min, k)
			}
		}
	}
}

func TestLeavingTakesAWord(t *testing.T) {
	r := run(20)
	r.key("q", "e", "n", "enter")
	if r.quit {
		t.Fatal("half the word ends the batch")
	}
	r.key("d", "enter")
	if !r.quit {
		t.Error("the word does not end the batch")
	}
	r = run(30)
	r.key("q")
	if r.quit {
		t.Fatal("one key ends the batch")
	}
	r.key("enter")
	if !r.quit {
		t.Error("q and Enter do not end a batch that is over")
	}
}

func TestUndo(t *testing.T) {
	r := run(20)
	r.key("d")
	r.wait(2 * time.Second)
	r.key("z")
	if got := r.tell.got; len(got) != 2 || got[1].Kind != plateau.Undone {
		t.Fatalf("told %v", got)
	}
	r.wait(6 * time.Second)
	r.key("z") // an older mark: asks first
	if len(r.tell.got) != 2 || !strings.Contains(r.View(), "take back \"heat down\"") {
		t.Fatalf("told %v without asking, or does not ask:\n%s", r.tell.got, r.View())
	}
	r.wait(2 * time.Second)
	r.key("z")
	if len(r.tell.got) != 3 {
		t.Error("the second press does not take it back")
	}
}

func TestLateMark(t *testing.T) {
	r := run(12)
	r.key("l", "2", "c")
	got := r.tell.got
	if len(got) != 1 || got[0].Mark != plateau.MarkCreamStart || got[0].Ago != 2*time.Minute {
		t.Fatalf("told %+v", got)
	}
	if !strings.Contains(r.View(), "first cream in, 2 min ago") {
		t.Errorf("the screen does not say so:\n%s", r.View())
	}
	r = run(12)
	r.key("l", "1", "2", "enter", "4")
	if got := r.tell.got; len(got) != 1 || got[0].Mark != plateau.MarkLookClear || got[0].Ago != 12*time.Minute {
		t.Errorf("told %+v", got)
	}
	r = run(1)
	r.key("l", "9", "m")
	if got := r.tell.got; len(got) != 1 || got[0].Ago != time.Minute {
		t.Errorf("a mark before the batch began: %+v", got)
	}
}

func TestNoteIsTypedClean(t *testing.T) {
	r := run(20)
	r.key("n")
	for _, s := range []string{"smells\x1b[31m of ", "tof", "x"} {
		r.do(func() tea.Msg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(s), Paste: true} })
	}
	r.key("backspace", "f", "ee", " ", "d", "enter") // "d" here is a letter, not a mark
	if len(r.tell.got) != 1 {
		t.Fatalf("told %+v", r.tell.got)
	}
	in := r.tell.got[0]
	if in.Mark != plateau.MarkNote || in.Text != "smells[31m of toffee d" {
		t.Errorf("told %+v", in)
	}
}

// An alarm takes the screen from whoever is typing, and keeps what was typed.
func TestAlarmInterruptsTyping(t *testing.T) {
	r := run(20)
	r.key("n", "h", "a", "l", "f")
	r.feed.s = fakeSnapshot(23.35)
	r.wait(0)
	if r.mode != modeWatch {
		t.Fatal("the note still has the keyboard")
	}
	r.key(" ")
	if got := r.marks(); !slices.Equal(got, []plateau.Mark{plateau.MarkPull}) {
		t.Errorf("space marks %v, want pull", got)
	}
	r.feed.s = fakeSnapshot(24)
	r.feed.s.Advice.Standing = 0
	r.wait(2 * time.Second)
	r.key("n", "enter")
	if got := r.tell.got[len(r.tell.got)-1]; got.Text != "half" {
		t.Errorf("the draft came back as %q", got.Text)
	}
}

func TestTarget(t *testing.T) {
	for _, c := range []struct {
		in   string
		unit probe.Unit
		want probe.Celsius // 0: refused
	}{
		{"235", probe.UnitF, 112.778}, {"112.8", probe.UnitC, 112.8}, {"112,8", probe.UnitC, 112.8},
		{"113C", probe.UnitF, 113}, {"240 °F", probe.UnitC, 115.556},
		{"", probe.UnitF, 0}, {"hot", probe.UnitF, 0}, {"80", probe.UnitF, 0}, {"900", probe.UnitF, 0}, {"NaN", probe.UnitC, 0}, {"Inf", probe.UnitC, 0},
	} {
		got, err := targetOf(c.in, c.unit)
		if (err != nil) != (c.want == 0) || got != c.want {
			t.Errorf("targetOf(%q, %v) = %v, %v; want %v", c.in, c.unit, got, err, c.want)
		}
	}
	r := run(20)
	r.key("t", "2", "3", "0", "enter")
	if got := r.tell.got; len(got) != 1 || got[0].Kind != plateau.Retargeted || got[0].Target != probe.Celsius(110) {
		t.Errorf("told %+v", got)
	}
}

func TestAlarmTestSoundsUntilHeard(t *testing.T) {
	sounded := 0
	r := run(0.2)
	r.cfg.TestAlert = func() error { sounded++; return nil }
	r.key("y", " ")
	r.wait(12 * time.Second)
	if sounded != 3 {
		t.Errorf("sounded %d times in 12 s, want 3", sounded)
	}
	r.key("h")
	r.wait(12 * time.Second)
	if sounded != 3 {
		t.Error("goes on after it was heard")
	}
}

// What is told comes in the order in which it was pressed, one call at a time.
func TestToldInOrder(t *testing.T) {
	m, _, tell := fakeLive(20, NoStyle)
	_, first := m.Update(keyMsg("d"))
	m.Update(keyMsg("u"))
	m.Update(keyMsg("z"))
	if m.sending != true || len(m.outbox) != 2 {
		t.Fatalf("sending %v, %d waiting", m.sending, len(m.outbox))
	}
	r := &running{live: m, tell: tell}
	r.do(first)
	var kinds []plateau.Kind
	for _, in := range tell.got {
		kinds = append(kinds, in.Kind)
	}
	if !slices.Equal(kinds, []plateau.Kind{plateau.Marked, plateau.Marked, plateau.Undone}) {
		t.Errorf("told %v", kinds)
	}
}
