package ui

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/probe"
)

// leaveWord is what a cook types to end a batch whose pot is on.
const leaveWord = "end"

// open begins to type a line.
func (m *live) open(md mode, title, help string) {
	m.mode = md
	m.entry = entry{title: title, help: help, text: m.drafts[md]}
}

// leave asks before the batch ends. While the pot is on it takes a word.
func (m *live) leave() {
	m.open(modeLeave, "End this batch? Press Enter.", "Esc goes back. The record is kept.")
	if m.potOn() {
		m.entry.title = "The pot is on. To end this batch type the word  " + leaveWord + "  and press Enter."
	}
}

// typed takes a key while a line is being typed.
func (m *live) typed(k tea.KeyMsg) tea.Cmd {
	done, gone := m.entry.key(k)
	if gone {
		m.close()
		return nil
	}
	if !done {
		return nil
	}
	switch m.mode {
	case modeNote:
		return m.keepText(plateau.MarkNote)
	case modeAdded:
		return m.keepText(plateau.MarkAdded)
	case modeTarget:
		m.retarget()
	case modeLeave:
		return m.end()
	case modeNext:
		m.cfg.Next() // here, since the library catches a panic of a sequence itself and prints it
		return tea.Quit
	}
	return nil
}

// keepText tells what was typed. Enter on an empty line leaves it be.
func (m *live) keepText(mk plateau.Mark) tea.Cmd {
	text := m.entry.value()
	m.entry.text = ""
	m.close()
	m.guard.fresh("enter", m.now) // the same press must not acknowledge
	if text != "" {
		m.mark(mk, 0, text)
	}
	return nil
}

func (m *live) end() tea.Cmd {
	if m.potOn() && !strings.EqualFold(m.entry.value(), leaveWord) {
		m.entry.wrong = "type the word  " + leaveWord + "  first, or Esc to go back"
		return nil
	}
	return tea.Quit
}

func (m *live) target() probe.Celsius { return m.scene().target() }

// retarget takes a number on the scale of the screen, or one with its own unit.
func (m *live) retarget() {
	c, err := targetOf(m.entry.value(), m.unit)
	if err != nil {
		m.entry.wrong = err.Error()
		return
	}
	m.close()
	m.guard.fresh("enter", m.now)
	m.say(plateau.Input{Kind: plateau.Retargeted, Target: c}, "target is now "+temp(c, m.unit), toastDone)
}

// The range in which a sugar syrup is cooked to: from above water's boiling
// point high in the mountains to the edge of burning.
const (
	lowestTarget  probe.Celsius = 90
	highestTarget probe.Celsius = 190
)

func targetOf(s string, u probe.Unit) (probe.Celsius, error) {
	s = strings.ReplaceAll(s, ",", ".")
	c, err := probe.ParseTemp(s)
	if err != nil {
		v, bad := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if bad != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return 0, fmt.Errorf("a number is needed, like %s", number(probe.Fahrenheit(235), u))
		}
		if c = probe.Celsius(v); u == probe.UnitF {
			c = probe.Fahrenheit(v)
		}
	}
	if !(c >= lowestTarget && c <= highestTarget) {
		return 0, fmt.Errorf("a target lies between %s and %s", temp(lowestTarget, u), temp(highestTarget, u))
	}
	return c.Rounded(), nil
}
