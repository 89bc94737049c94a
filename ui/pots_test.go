package ui

import (
	"fmt"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/probe"
)

// fakeBoard is a shop of invented pots, one in each state that a pot can have.
type fakeBoard struct {
	pots []Pot
	note string
}

func (b *fakeBoard) Pots(time.Time) ([]Pot, string) { return b.pots, b.note }

func shop() []Pot {
	f := probe.Fahrenheit
	said := func(p plateau.Prompt, text string) map[plateau.Prompt]string {
		return map[plateau.Prompt]string{p: text}
	}
	stall := plateau.Forecast{ETA: 14 * time.Minute, Low: 11 * time.Minute, High: 18 * time.Minute, By: plateau.ByStallLine}
	soon := plateau.Forecast{ETA: 20 * time.Second, Low: 15 * time.Second, High: 27 * time.Second, By: plateau.BySlope}
	standing := func(p plateau.Prompt) plateau.Prompts { return plateau.Prompts(0).With(p) }
	return []Pot{
		{Name: "Stall dip", Topic: "hob1", Linked: true, Advice: plateau.Advice{Now: f(221.4), HasNow: true, Phase: plateau.Stall, Target: f(235), Slope: 0.3, Forecast: stall}},
		{Name: "Pear dip", Topic: "hob2", Linked: true, Heard: time.Second, Advice: plateau.Advice{Now: f(233.8), HasNow: true, Phase: plateau.Climb, Target: f(235), Slope: 2.4, Forecast: soon, Standing: standing(plateau.PullNow)},
			Texts: said(plateau.PullNow, "Pull the pot now: 234 °F. Both hands, away from you.")},
		{Name: "Soft wraps", Topic: "hob3", Linked: true, Advice: plateau.Advice{Now: f(302), HasNow: true, Phase: plateau.Melt, Target: f(240), Why: plateau.WhyNoBoil, Standing: standing(plateau.Sample), Quiet: standing(plateau.Sample)},
			Texts: said(plateau.Sample, "Look at the melt: dry, clumps, colouring or clear? 302 °F.")},
		{Name: "Rods", Topic: "hob4", Linked: true, Advice: plateau.Advice{Now: f(228), HasNow: true, Phase: plateau.Climb, Target: f(235), Doubt: probe.FaultLifted, Why: plateau.WhyDoubtful}},
		{Name: "Late batch", Topic: "hob5", Heard: 40 * time.Second, Linked: true, Advice: plateau.Advice{Now: f(219), HasNow: true, Phase: plateau.Stall, Target: f(235), Forecast: stall}},
		{Name: "Cold batch", Topic: "hob6", Heard: 3 * time.Minute, Gone: true, Advice: plateau.Advice{Now: f(180), HasNow: true, Phase: plateau.Cream, Target: f(235)}},
		{Name: "Morning", Topic: "hob7", Heard: time.Hour, Over: true, Advice: plateau.Advice{Now: f(140), HasNow: true, Phase: plateau.Done, Target: f(235)}},
		{Name: "New", Topic: "hob8", Advice: plateau.Advice{Phase: plateau.Wait, Target: f(235), Why: plateau.WhyNoBoil}},
	}
}

func potsScreen(cfg Config, b Board, w, h int) *pots {
	m := NewPots(cfg, b).(*pots)
	m.Update(tea.WindowSizeMsg{Width: w, Height: h})
	m.Update(m.Init()())
	return m
}

func TestPots(t *testing.T) {
	for _, size := range [][2]int{{120, 40}, {80, 24}, {40, 12}, {60, 6}} {
		m := potsScreen(Config{Unit: probe.UnitF, Depth: NoStyle, Name: "shop"}, &fakeBoard{pots: shop()}, size[0], size[1])
		golden(t, fmt.Sprintf("pots-%dx%d", size[0], size[1]), m.View())
	}
	m := potsScreen(Config{Unit: probe.UnitC, Depth: NoStyle, ASCII: true, Name: "shop"}, &fakeBoard{pots: shop()[:2], note: "cannot watch \"shop\" at hob:1883"}, 80, 24)
	golden(t, "pots-ascii", m.View())
	golden(t, "pots-none", potsScreen(Config{Depth: NoStyle}, &fakeBoard{}, 80, 24).View())
}

// However small the window, the pot that must be pulled is in it.
func TestPots_urgentFirst(t *testing.T) {
	all := shop()
	all[1], all[6] = all[6], all[1]
	for h := 6; h < 40; h++ {
		if v := potsScreen(Config{Depth: NoStyle}, &fakeBoard{pots: all}, 80, h).View(); !strings.Contains(v, "PULL NOW") {
			t.Errorf("height %d:\n%s", h, v)
		}
	}
}

func TestPots_keys(t *testing.T) {
	m := potsScreen(Config{Unit: probe.UnitF, Depth: NoStyle}, &fakeBoard{pots: shop()}, 80, 8)
	first := m.View()
	m.Update(tea.KeyMsg{Type: tea.KeyDown})
	if m.View() == first {
		t.Error("down shows no other pot")
	}
	for range 50 {
		m.Update(tea.KeyMsg{Type: tea.KeyUp})
	}
	if m.View() != first {
		t.Error("up does not lead back")
	}
	m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("u")})
	if !strings.Contains(m.View(), "°C") {
		t.Error("u does not change the scale")
	}
	if _, cmd := m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("q")}); cmd == nil {
		t.Error("q does not leave")
	}
}
