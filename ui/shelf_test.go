package ui

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

// fakeShelf holds invented batches in memory.
type fakeShelf struct {
	entries []sessions.Entry
	bin     []sessions.Entry
	amended []sessions.Amendment
	fail    error
}

func newFakeShelf(n int) *fakeShelf {
	f := &fakeShelf{}
	for i := range n {
		e := sessions.Entry{
			Name: fmt.Sprintf("b%02d.jsonl", i), Path: fmt.Sprintf("b%02d.jsonl", i),
			Start:  time.Date(2026, 3, 14-i%14, 9, 5*i%60, 0, 0, time.UTC),
			Recipe: []string{"pretzel dip", "soft wraps"}[i%2], Target: fakeTarget,
			Peak: fakeTarget + probe.Celsius(i%5) - 2, End: 28 * time.Minute, Closed: i%7 != 3,
			Sparks: "!$'+05:?DFHHGB@??????@@@@AABBCDD?=;97",
		}
		e.Label.Outcome.Texture = i % 8
		if i%4 == 1 {
			e.Label.Tags = []string{"copper pot"}
		}
		if i == 5 {
			e.Damaged = 2
		}
		f.entries = append(f.entries, e)
	}
	return f
}

func (f *fakeShelf) List() ([]sessions.Entry, error) { return slices.Clone(f.entries), f.fail }

func (f *fakeShelf) Open(e sessions.Entry) (*sessions.Session, error) {
	return fakeSession(e), f.fail
}

func (f *fakeShelf) Amend(e sessions.Entry, a sessions.Amendment) error {
	for i := range f.entries {
		if f.entries[i].Name == e.Name {
			f.entries[i].Label = f.entries[i].Label.Apply(a)
		}
	}
	f.amended = append(f.amended, a)
	return f.fail
}

func (f *fakeShelf) Discard(e sessions.Entry) (string, error) {
	f.entries = slices.DeleteFunc(f.entries, func(o sessions.Entry) bool { return o.Name == e.Name })
	f.bin = append(f.bin, e)
	return e.Name, f.fail
}

func (f *fakeShelf) Restore(binned string) error {
	for _, e := range f.bin {
		if e.Name == binned {
			f.entries = append(f.entries, e)
		}
	}
	return f.fail
}

// fakeSession is the invented batch as a session file would hold it, warmer
// for one and cooler for another.
func fakeSession(e sessions.Entry) *sessions.Session {
	s := &sessions.Session{Header: sessions.Header{Start: e.Start, Recipe: e.Recipe, Unit: probe.UnitF, Config: plateau.Config{Target: fakeTarget}}, Label: e.Label}
	fakeInputs(28, func(in plateau.Input, _ plateau.Advice) bool {
		if in.Kind == plateau.Measured && in.At > minutes(11) {
			in.C += (e.Peak - fakeTarget) * probe.Celsius(in.At-minutes(11)) / probe.Celsius(minutes(12))
		}
		s.Records = append(s.Records, sessions.Record{Kind: sessions.InputRecord, At: in.At, Input: in})
		return true
	})
	return s
}

// shelving is a shelf screen whose commands are carried out as they come.
type shelving struct {
	*shelf
	fake *fakeShelf
	quit bool
}

func openShelf(n, w, h int) *shelving {
	f := newFakeShelf(n)
	m := NewShelf(Config{Unit: probe.UnitF, Depth: NoStyle}, f).(*shelf)
	s := &shelving{shelf: m, fake: f}
	m.Update(tea.WindowSizeMsg{Width: w, Height: h})
	s.do(m.Init())
	return s
}

func (s *shelving) do(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil, beat:
	case tea.BatchMsg:
		for _, c := range msg {
			s.do(c)
		}
	case tea.QuitMsg:
		s.quit = true
	default:
		_, next := s.Update(msg)
		if _, ok := msg.(loaded); ok {
			return // the replay's own clock need not run here
		}
		s.do(next)
	}
}

func (s *shelving) key(keys ...string) {
	for _, k := range keys {
		_, cmd := s.Update(keyMsg(k))
		s.do(cmd)
	}
}

// fakeComparison is worked out by hand, so that the frames show the screen's
// doings alone.
func fakeComparison(by sessions.Align) *sessions.Comparison {
	c := &sessions.Comparison{Align: by, Unit: probe.UnitF, Outcome: "peak"}
	for i, e := range newFakeShelf(3).entries {
		t := sessions.Track{Session: fakeSession(e), Title: e.Title(), Zero: minutes(10), Aligned: i != 1}
		for in := range t.Session.Inputs() {
			if in.Kind == plateau.Measured {
				t.Points = append(t.Points, sessions.CurvePoint{At: in.At - t.Zero, C: in.C, OK: in.Fault == probe.FaultNone})
			}
		}
		c.Tracks = append(c.Tracks, t)
	}
	for i := range 12 {
		c.Rows = append(c.Rows, sessions.Difference{Name: fmt.Sprintf("figure %d", i+1), Values: []string{"231.4 °F", "–", "4:41"}, Spread: "3.6 °F"})
	}
	return c
}

func TestShelfFrames(t *testing.T) {
	for _, c := range []struct {
		name string
		n    int
		keys []string
	}{
		{"list", 30, []string{"down", "down"}},
		{"empty", 0, nil},
		{"found", 30, []string{"/", "s", "o", "f", "t", "enter"}},
		{"help", 30, []string{"?"}},
		{"outcome", 30, []string{"o", "6", "g", "s", "c", "c"}},
		{"rename", 30, []string{"r"}},
		{"discard", 30, []string{"x", "enter"}},
		{"in-bin", 30, []string{"x", "b", "i", "n", "enter"}},
		{"compare", 30, []string{" ", " ", " ", "c"}},
		{"compare-whole", 30, []string{" ", " ", "c", "w", "a"}},
	} {
		for _, size := range sizes {
			name := fmt.Sprintf("shelf-%s-%dx%d", c.name, size[0], size[1])
			t.Run(name, func(t *testing.T) {
				s := openShelf(c.n, size[0], size[1])
				s.key(c.keys...)
				if in, ok := s.inner.(*compare); ok {
					in.got = fakeComparison(in.by)
				}
				golden(t, name, s.View())
			})
		}
	}
}

func TestShelfFitsEveryWindow(t *testing.T) {
	for _, keys := range [][]string{nil, {"?"}, {"o"}, {"x"}, {" ", " ", "c"}, {" ", " ", "c", "t"}} {
		s := openShelf(12, 80, 24)
		s.key(keys...)
		for w := 1; w <= 200; w += 13 {
			for h := 1; h <= 60; h += 7 {
				s.Update(tea.WindowSizeMsg{Width: w, Height: h})
				if err := fits(s.View(), w, h); err != nil {
					t.Fatalf("%v, %d by %d: %v", keys, w, h, err)
				}
			}
		}
	}
}

func TestShelfChangesAndUndo(t *testing.T) {
	s := openShelf(6, 80, 24)
	e, _ := s.current()
	s.key("r", "N", "e", "w", "enter")
	if got, _ := s.current(); got.Name != e.Name || got.Label.Title != "New" {
		t.Errorf("renamed %+v", got.Label)
	}
	s.key("t", "a", ",", " ", "b", "enter")
	if got, _ := s.current(); !slices.Equal(got.Label.Tags, []string{"a", "b"}) {
		t.Errorf("tags %q", got.Label.Tags)
	}
	s.key("o", "4", "g", "n", "f", "i", "r", "m", "enter", "s", "s", "c", "c", "p", "x", "enter", "backspace", "4", "8", "enter", "x", "enter")
	want := sessions.Outcome{Texture: 4, Grain: true, Thrown: true, Coat: "slid", Colour: "golden", Pieces: 48, Text: "firm"}
	if got, _ := s.current(); got.Label.Outcome != want {
		t.Errorf("outcome %+v, want %+v", got.Label.Outcome, want)
	}
	s.key("x", "enter", "x", "esc", "x", "x", "x")
	if len(s.fake.bin) != 0 {
		t.Fatal("a batch went into the bin without the word")
	}
	s.key("esc", "x", "b", "i", "n", "enter")
	if len(s.fake.bin) != 1 || len(s.shown) != 5 {
		t.Fatalf("%d in the bin, %d on the shelf", len(s.fake.bin), len(s.shown))
	}
	s.key("z")
	if len(s.shown) != 6 {
		t.Errorf("%d on the shelf after the undo", len(s.shown))
	}
	s.key("z")
	if !strings.Contains(s.View(), "nothing has gone into the bin") {
		t.Error("a second undo does not say that there is nothing")
	}
}

// A quick hand's keys arrive in one message.
func TestKeysDeliveredTogether(t *testing.T) {
	s := openShelf(6, 80, 24)
	s.key("o", "5scc", "enter")
	if got, _ := s.current(); got.Label.Outcome.Texture != 5 || got.Label.Outcome.Coat != "held" || got.Label.Outcome.Colour != "golden" {
		t.Errorf("outcome %+v", got.Label.Outcome)
	}
	s.key("o", "enter") // nothing changed: nothing to keep
	if n := len(s.fake.amended); n != 1 {
		t.Errorf("%d amendments, want 1", n)
	}
}

func TestShelfOpensAndComesBack(t *testing.T) {
	s := openShelf(6, 80, 24)
	s.key("enter")
	if _, ok := s.inner.(*replay); !ok || !strings.Contains(s.View(), "paused") {
		t.Fatalf("Enter opens %T:\n%s", s.inner, s.View())
	}
	s.key("q")
	if s.inner != nil || s.quit {
		t.Fatal("leaving the replay does not come back to the shelf")
	}
	s.key("c")
	if s.inner != nil || !strings.Contains(s.View(), "pick two") {
		t.Error("compares what has not been picked")
	}
	s.key(" ", " ", "c")
	if _, ok := s.inner.(*compare); !ok {
		t.Fatalf("compares in %T", s.inner)
	}
	s.key("esc", "q")
	if !s.quit {
		t.Error("q does not leave the shelf")
	}
}

func TestShelfTrouble(t *testing.T) {
	s := openShelf(3, 80, 24)
	s.fake.fail = fmt.Errorf("the disk\x1b[2J is gone")
	s.key("enter")
	if s.inner != nil || !strings.Contains(s.View(), "! the disk[2J is gone") {
		t.Errorf("trouble is not said:\n%s", s.View())
	}
}

// The next batch begins only after this one is over, and asks first.
func TestNextBatch(t *testing.T) {
	for min, offered := range map[float64]bool{15: false, 23.4: false, 30: true} {
		asked := 0
		r := run(min)
		r.cfg.Next = func() { asked++ }
		r.key("x")
		if asked != 0 || (r.mode == modeNext) != offered {
			t.Errorf("minute %v: mode %v, asked %d times", min, r.mode, asked)
		}
		if !offered {
			continue
		}
		_, cmd := r.Update(keyMsg("enter"))
		if cmd == nil {
			t.Error("Enter does nothing")
		}
	}
}

// The outcome is never asked while the pot is on.
func TestOutcomeOnlyWhenOver(t *testing.T) {
	var kept []sessions.Outcome
	for min, asked := range map[float64]bool{5: false, 9: false, 15: false, 21: false, 23.4: false, 25: false, 30: true} {
		r := run(min)
		r.cfg.Outcome = func(o sessions.Outcome) error { kept = append(kept, o); return nil }
		r.key("o")
		if (r.mode == modeOutcome) != asked {
			t.Errorf("minute %v: asked %v", min, r.mode == modeOutcome)
		}
		if asked {
			r.key("5", "enter")
		}
	}
	if len(kept) != 1 || kept[0].Texture != 5 {
		t.Errorf("kept %+v", kept)
	}
}
