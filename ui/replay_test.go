package ui

import (
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
)

// play lets the replay's clock run and answers its seeks.
func (m *replay) play(d, tick time.Duration) {
	for end := m.now.Add(d); m.now.Before(end); {
		m.advance(m.now.Add(tick))
		m.arrive()
	}
}

func TestReplaySpeeds(t *testing.T) {
	m := fakeReplay(0, NoStyle)
	m.now = time.UnixMilli(1)
	for m.speed > 0 {
		m.press("-")
	}
	m.press(" ")
	m.play(10*time.Second, 200*time.Millisecond)
	if m.at != 10*time.Second {
		t.Errorf("at life's speed 10 s became %v", m.at)
	}
	for range 10 {
		m.press("+")
	}
	if speeds[m.speed] != 200 {
		t.Fatalf("fastest is %d", speeds[m.speed])
	}
	m.play(2*time.Second, 200*time.Millisecond)
	if want := 10*time.Second + 400*time.Second; m.at != want {
		t.Errorf("at 200 times life it stands at %v, want %v", m.at, want)
	}
}

func TestReplayEndsOnASummary(t *testing.T) {
	m := fakeReplay(28, NoStyle)
	m.now = time.UnixMilli(1)
	m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	m.speed = len(speeds) - 1
	m.press(" ")
	m.play(3*time.Second, 200*time.Millisecond)
	if m.playing || m.at != m.rec.end || !strings.Contains(m.View(), "Peak 235.6 °F: 0.5 °F over the target of 235 °F.") {
		t.Errorf("playing %v at %v:\n%s", m.playing, m.at, m.View())
	}
	m.press(" ") // again from the beginning
	m.play(time.Second, 200*time.Millisecond)
	if !m.playing || m.at > 5*time.Minute {
		t.Errorf("playing %v at %v", m.playing, m.at)
	}
}

func TestReplayJumps(t *testing.T) {
	m := fakeReplay(0, NoStyle)
	go1 := func(key string) time.Duration { m.Update(keyMsg(key)); m.arrive(); return m.at.Round(time.Millisecond) }
	for _, want := range []float64{0.5, 4, 6.5, 7.6} {
		if got := go1("]"); (got - minutes(want)).Abs() > 500*time.Millisecond {
			t.Errorf("next mark at %v, want minute %v", got, want)
		}
	}
	here := m.at
	if got := go1("right"); got != here+500*time.Millisecond {
		t.Errorf("one reading on: %v after %v", got, here)
	}
	if got := go1("left"); got != here {
		t.Errorf("one reading back: %v, want %v", got, here)
	}
	if got := go1("["); (got - minutes(6.5)).Abs() > 500*time.Millisecond {
		t.Errorf("previous mark at %v", got)
	}
	if got := go1("5"); got != 15*time.Minute {
		t.Errorf("half way at %v", got)
	}
	for _, k := range []string{"g", "1", "2", ":", "3", "0"} {
		m.Update(keyMsg(k))
	}
	if got := go1("enter"); got != 12*time.Minute+30*time.Second {
		t.Errorf("went to %v", got)
	}
}

// What was shown then and what would be shown today are told apart.
func TestDifferences(t *testing.T) {
	at := func(s int, p plateau.Prompt) promptAt {
		return promptAt{at: time.Duration(s) * time.Second, p: p, text: "x"}
	}
	then := []promptAt{at(10, plateau.Stalled), at(20, plateau.LowerHeat), at(30, plateau.Stir), at(60, plateau.PullNow)}
	today := []promptAt{at(10, plateau.Stalled), at(25, plateau.LowerHeat), at(60, plateau.PullNow), at(70, plateau.PullNow)}
	got := differences(then, today)
	if len(got) != 3 {
		t.Fatalf("%+v", got)
	}
	if g := got[0]; g.prompt != plateau.LowerHeat || !g.both || g.moved != 5*time.Second {
		t.Errorf("moved: %+v", g)
	}
	if g := got[1]; g.prompt != plateau.Stir || !g.then || g.both {
		t.Errorf("gone: %+v", g)
	}
	if g := got[2]; g.prompt != plateau.PullNow || g.then {
		t.Errorf("new: %+v", g)
	}
	if d := differences(then, then); len(d) != 0 {
		t.Errorf("a record differs from itself: %+v", d)
	}
}

func TestParseClock(t *testing.T) {
	for in, want := range map[string]time.Duration{
		"12:30": 12*time.Minute + 30*time.Second, "12": 12 * time.Minute, "1:02:03": time.Hour + 2*time.Minute + 3*time.Second,
		"": -1, "x": -1, "1:2:3:4": -1, "-5": -1, "99999999": -1,
	} {
		got, err := parseClock(in)
		if (err != nil) != (want < 0) || err == nil && got != want {
			t.Errorf("parseClock(%q) = %v, %v", in, got, err)
		}
	}
}
