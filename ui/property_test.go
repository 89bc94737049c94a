package ui

import (
	"fmt"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

	"boildown/plateau"
	"boildown/probe"
)

// fits reports what is wrong with a frame for a window of w by h.
func fits(frame string, w, h int) error {
	lines := strings.Split(frame, "\n")
	if len(lines) > h {
		return fmt.Errorf("%d lines in %d rows", len(lines), h)
	}
	for i, l := range lines {
		if n := lipgloss.Width(l); n > w {
			return fmt.Errorf("line %d is %d wide in %d columns: %q", i, n, w, l)
		}
	}
	return nil
}

// Every state fits every window, from one cell to a wall of them.
func TestFramesFitEveryWindow(t *testing.T) {
	step := 1
	if testing.Short() {
		step = 3
	}
	screens := map[string]func() tea.Model{}
	for _, s := range []int{0, 1, 3, 6, 12, 14, 18, 19, 22} {
		s := liveStates[s]
		screens[s.name] = func() tea.Model { m := s.open(NoColour); press(m, s.keys...); return m }
	}
	for _, keys := range []string{"?", "y", "n", "l", "q", "t"} {
		screens["key "+keys] = func() tea.Model { m, _, _ := fakeLive(20, NoStyle); press(m, keys); return m }
	}
	screens["replay"] = func() tea.Model { return fakeReplay(23.4, NoStyle) }
	screens["summary"] = func() tea.Model { m := fakeReplay(23.4, NoStyle); m.mode = replaySummary; return m }
	for name, open := range screens {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m := open()
			for _, big := range [][2]int{{500, 24}, {500, 200}, {40, 300}} {
				m.Update(tea.WindowSizeMsg{Width: big[0], Height: big[1]})
				if err := fits(m.View(), big[0], big[1]); err != nil {
					t.Fatalf("%v: %v", big, err)
				}
			}
			n := 0
			for w := 1; w <= 200; w++ {
				for h := 1; h <= 60; h++ {
					if n++; n%(23*step) != 0 && w > 3 && h > 3 && !(w >= 38 && w <= 42) && !(h >= 11 && h <= 13) {
						continue
					}
					m.Update(tea.WindowSizeMsg{Width: w, Height: h})
					if err := fits(m.View(), w, h); err != nil {
						t.Fatalf("%d by %d: %v", w, h, err)
					}
				}
			}
		})
	}
}

// Text from outside cannot move the cursor, colour the screen or widen a line.
func TestOutsideTextIsHarmless(t *testing.T) {
	nasty := "a\x1b[2J\x1b]0;title\x07b\r\nc\x00\u202e\u200d漢字e\u0301\xff"
	m, feed, _ := fakeLive(20, NoStyle)
	m.cfg.Name, m.cfg.Offset = nasty, nasty
	feed.s.Note, feed.s.RecordErr, feed.s.Linked = nasty, nasty, false
	m.words = func(_ plateau.Prompt, _ plateau.Advice, _ probe.Unit) string { return nasty }
	for _, size := range sizes {
		got := Frame(m, size[0], size[1])
		if strings.ContainsAny(got, "\x1b\x07\r\x00\u202e\u200d") {
			t.Errorf("%v: control bytes reach the screen: %q", size, got)
		}
		if err := fits(got, size[0], size[1]); err != nil {
			t.Errorf("%v: %v", size, err)
		}
	}
	if got, want := Clean(nasty), "a[2J]0;titleb  c漢字e\u0301"; got != want {
		t.Errorf("Clean = %q, want %q", got, want)
	}
}

// The same words stand on the screen whatever the colours, so that nothing is
// told by colour alone.
func TestColourAddsNothingButColour(t *testing.T) {
	for _, s := range liveStates {
		bare := s.open(NoStyle)
		want := stripped(Frame(bare, 80, 24))
		for _, d := range []Depth{NoColour, Colour16, Colour256} {
			m := s.open(d)
			if got := stripped(Frame(m, 80, 24)); got != want {
				t.Errorf("%s at depth %d shows other text", s.name, d)
			}
		}
	}
}

// stripped is a frame without escapes and without blanks at the lines' ends.
func stripped(frame string) string {
	var b strings.Builder
	for i := 0; i < len(frame); i++ {
		if frame[i] == 0x1b {
			i += strings.IndexByte(frame[i:], 'm')
			continue
		}
		b.WriteByte(frame[i])
	}
	lines := strings.Split(b.String(), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}

// In ASCII nothing else is sent.
func TestASCIIOnly(t *testing.T) {
	for _, s := range liveStates {
		m := s.open(NoStyle)
		m.cfg.ASCII = true
		m.cfg.Name = "Crème brûlée für drei"
		for _, size := range sizes {
			m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
			press(m, s.keys...)
			for _, r := range m.View() {
				if r > 0x7e {
					t.Fatalf("%s %v: %q is not ASCII", s.name, size, r)
				}
			}
		}
	}
}

// The urgent screen inverts, not more often than twice a second, until the
// alarm is acknowledged.
func TestPullFlashesSlowly(t *testing.T) {
	m, feed, _ := fakeLive(23.35, NoColour)
	m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	changes, last := 0, ""
	for ms := range 100 {
		m.take(pulled{time.UnixMilli(int64(ms) * 100), feed.s})
		if now := m.View(); now != last {
			changes++
			last = now
		}
	}
	if changes < 18 || changes > 20 {
		t.Errorf("%d inversions in 10 s, want 20", changes)
	}
	feed.s.Advice.Quiet = feed.s.Advice.Standing
	m.take(pulled{time.UnixMilli(20000), feed.s})
	a := m.View()
	m.take(pulled{time.UnixMilli(20500), feed.s})
	if a != m.View() {
		t.Error("an acknowledged alarm goes on flashing")
	}
}
