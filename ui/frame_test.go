package ui

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

var update = flag.Bool("update", false, "rewrite the golden frames")

// sizes are the windows in which every state is held to its frame.
var sizes = [][2]int{{80, 24}, {120, 40}, {40, 12}}

// golden compares a frame with the one that was looked at and kept.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", "frames", name+".golden")
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("no golden frame: %v; run go test ./ui -update and look at it", err)
	}
	if got+"\n" != strings.ReplaceAll(string(want), "\r\n", "\n") {
		t.Errorf("frame differs from %s; if it should, run go test ./ui -update\n%s", path, got)
	}
}

// press sends keys one after the other, each with seconds between.
func press(m *live, keys ...string) {
	for _, k := range keys {
		m.take(pulled{m.now.Add(3 * time.Second), m.snap})
		m.Update(keyMsg(k))
	}
}

func keyMsg(k string) tea.KeyMsg {
	switch k {
	case " ":
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	case "enter":
		return tea.KeyMsg{Type: tea.KeyEnter}
	case "esc":
		return tea.KeyMsg{Type: tea.KeyEsc}
	case "backspace":
		return tea.KeyMsg{Type: tea.KeyBackspace}
	case "ctrl+c":
		return tea.KeyMsg{Type: tea.KeyCtrlC}
	case "left":
		return tea.KeyMsg{Type: tea.KeyLeft}
	case "right":
		return tea.KeyMsg{Type: tea.KeyRight}
	case "end":
		return tea.KeyMsg{Type: tea.KeyEnd}
	case "down":
		return tea.KeyMsg{Type: tea.KeyDown}
	case "up":
		return tea.KeyMsg{Type: tea.KeyUp}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
}

// liveState is one state of the live screen.
type liveState struct {
	name string
	min  float64
	set  func(*Snapshot)
	keys []string
	cfg  func(*Config)
}

var liveStates = []liveState{
	{name: "wait", min: 0.2},
	{name: "no-reading-yet", min: 0, set: func(s *Snapshot) {
		s.Advice.HasNow, s.Linked = false, false
		s.Note = "No probe on the port: plug it in."
	}},
	{name: "melt", min: 5},
	{name: "add-cream", min: 7.8},
	{name: "cream", min: 9},
	{name: "stall-early", min: 12.1},
	{name: "stall", min: 15},
	{name: "stall-whole", min: 15, keys: []string{"w"}},
	{name: "stall-celsius", min: 15, keys: []string{"f"}},
	{name: "lower-heat", min: 18.7},
	{name: "climb", min: 21},
	{name: "near", min: 22.5},
	{name: "pull", min: 23.35},
	{name: "past-target", min: 23.4, set: func(s *Snapshot) {
		a := &s.Advice
		a.Forecast, a.Now, a.Slope = plateau.Forecast{}, fakeTarget+6, 4
		a.Standing = plateau.Prompts(0).With(plateau.PastTarget).With(plateau.Scorch)
	}},
	{name: "pulled", min: 24.6},
	{name: "dip", min: 25},
	{name: "dip-closing", min: 25.8},
	{name: "done", min: 30},
	{name: "finished", min: 30, set: func(s *Snapshot) { s.Ended, s.Silent, s.At = true, 5*time.Minute, minutes(35) }},
	{name: "acknowledged", min: 23.35, set: func(s *Snapshot) { s.Advice.Quiet = s.Advice.Standing }},
	{name: "silent", min: 20, set: func(s *Snapshot) {
		s.Silent = 12 * time.Second
		s.Advice.Forecast.Guess = true
		s.Advice.Doubt = probe.FaultSilent
		s.Advice.Standing = s.Advice.Standing.With(plateau.ProbeFault)
	}},
	{name: "link-lost", min: 20, set: func(s *Snapshot) {
		s.Linked, s.Silent = false, 31*time.Second
		s.Note = "The probe is gone from its port. Plug it in again; it is found by itself."
	}},
	{name: "unsynced", min: 20, set: func(s *Snapshot) { s.Unsynced = 4 * time.Second }},
	{name: "disk-full", min: 20, set: func(s *Snapshot) { s.RecordErr = "the disk is full; free some space" }},
	{name: "quiet-demo-offset", min: 20, set: func(s *Snapshot) { s.Quiet, s.Demo, s.Speed = true, true, 20 },
		cfg: func(c *Config) { c.Fold.Calibration.Offset = 1.2; c.Offset = "water boil" }},
	{name: "not-on-its-way", min: 20, set: func(s *Snapshot) {
		s.Advice.Forecast = plateau.Forecast{}
		s.Advice.Why = plateau.WhyNotOnItsWay
		s.Advice.Standing = plateau.Prompts(0).With(plateau.NotRising)
	}},
	{name: "mark", min: 20, keys: []string{"d"}},
	{name: "taken-back", min: 20, keys: []string{"d", "z"}},
	{name: "take-back-older", min: 20, keys: []string{"z"}},
	{name: "help", min: 20, keys: []string{"?"}},
	{name: "help-marks", min: 20, keys: []string{"?", "?"}},
	{name: "alarm-test", min: 20, keys: []string{"y"}},
	{name: "alarm-sounding", min: 20, keys: []string{"y", " "}},
	{name: "alarm-heard", min: 20, keys: []string{"y", " ", "h"}},
	{name: "note", min: 20, keys: []string{"n", "t", "o", "o", " ", "d", "a", "r", "k"}},
	{name: "target", min: 20, keys: []string{"t", "9", "enter"}},
	{name: "late", min: 20, keys: []string{"l"}},
	{name: "late-minutes", min: 20, keys: []string{"l", "2"}},
	{name: "late-marked", min: 20, keys: []string{"l", "2", "c"}},
	{name: "leave", min: 20, keys: []string{"q", "enter"}},
	{name: "leave-off", min: 30, keys: []string{"q"}},
	{name: "outcome", min: 30, keys: []string{"o", "4", "s"}},
	{name: "next", min: 30, keys: []string{"x"}},
	{name: "ascii", min: 15, cfg: func(c *Config) { c.ASCII = true }},
	{name: "ascii-pull", min: 23.35, cfg: func(c *Config) { c.ASCII = true }},
}

// open makes the screen of a state.
func (s liveState) open(d Depth) *live {
	m, feed, _ := fakeLive(s.min, d)
	m.cfg.TestAlert = func() error { return errors.New("not in a test") }
	m.cfg.SetQuiet = func(bool) {}
	m.cfg.Outcome, m.cfg.Next = func(sessions.Outcome) error { return nil }, func() {}
	if s.cfg != nil {
		s.cfg(&m.cfg)
	}
	if s.set != nil {
		s.set(&feed.s)
	}
	m.take(pulled{time.UnixMilli(500), feed.s})
	return m
}

func TestLiveFrames(t *testing.T) {
	for _, s := range liveStates {
		for _, size := range sizes {
			name := fmt.Sprintf("live-%s-%dx%d", s.name, size[0], size[1])
			t.Run(name, func(t *testing.T) {
				m := s.open(NoStyle)
				m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
				press(m, s.keys...)
				golden(t, name, m.View())
			})
		}
	}
}

var replayStates = []struct {
	name string
	min  float64
	keys []string
}{
	{"begin", 0, nil},
	{"stall", 15, []string{"+"}},
	{"differs", 23.4, nil},
	{"help", 15, []string{"?"}},
	{"go-to", 15, []string{"g", "x", "enter"}},
	{"summary", 15, []string{"s"}},
	{"end", 15, []string{"end"}},
}

func TestReplayFrames(t *testing.T) {
	for _, s := range replayStates {
		for _, size := range sizes {
			name := fmt.Sprintf("replay-%s-%dx%d", s.name, size[0], size[1])
			t.Run(name, func(t *testing.T) {
				m := fakeReplay(s.min, NoStyle)
				m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
				for _, k := range s.keys {
					m.Update(keyMsg(k))
					m.arrive()
				}
				golden(t, name, m.View())
			})
		}
	}
}

// arrive lets a seek that is under way end.
func (m *replay) arrive() {
	m.seeking = false
	for cmd := m.seek(); cmd != nil; cmd = m.seek() {
		m.Update(cmd())
	}
}

func TestTooSmallSaysSo(t *testing.T) {
	m, _, _ := fakeLive(15, NoStyle)
	for _, size := range [][2]int{{39, 12}, {40, 11}, {20, 5}} {
		got := Frame(m, size[0], size[1])
		if !strings.Contains(got, "too small: 40x12") || !strings.Contains(got, "220.2") {
			t.Errorf("%v: %q does not say that it is too small, with the temperature", size, got)
		}
	}
}
