package ui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/sessions"
)

var shelfHelpPanel = lines{
	{"↓ ↑", "next, previous batch"},
	{"PgDn PgUp", "a page on, back"},
	{"Enter", "replay it"},
	{"space", "pick it for the comparison"},
	{"c", "compare the picked ones"},
	{"o", "how it came out"},
	{"r", "rename"},
	{"t", "tags"},
	{"n", "note"},
	{"/", "find: title, recipe, note or tag"},
	{"s", "another order"},
	{"x", "into the bin (asks first)"},
	{"z", "bring back from the bin"},
	{"f", "°F or °C"},
	{"q", "leave"},
}

func (m *shelf) key(k tea.KeyMsg) tea.Cmd {
	switch m.mode {
	case shelfFilter, shelfTitle, shelfTags, shelfNote, shelfDiscard:
		return m.typed(k)
	case shelfOutcome:
		return m.outcomeKey(k)
	}
	for _, name := range keyNames(k) {
		if cmd := m.press(name); cmd != nil || m.mode != shelfList {
			return cmd
		}
	}
	return nil
}

func (m *shelf) press(key string) tea.Cmd {
	if m.mode == shelfHelp {
		m.mode = shelfList
		if key == "?" || key == "esc" || key == "q" {
			return nil
		}
	}
	if m.travel(key) {
		return nil
	}
	if m.busy {
		return nil
	}
	return m.command(key)
}

// travel moves the cursor.
func (m *shelf) travel(key string) bool {
	page := max(m.h-6, 1)
	n, ok := map[string]int{"down": 1, "up": -1, "pgdown": page, "pgup": -page, "home": -len(m.shown), "end": len(m.shown)}[key]
	if ok {
		m.list.move(n, len(m.shown))
	}
	return ok
}

func (m *shelf) command(key string) tea.Cmd {
	e, ok := m.current()
	switch key {
	case "q", "ctrl+c":
		return tea.Quit
	case "?":
		m.mode = shelfHelp
	case "/":
		m.open(shelfFilter, "Find", "Part of a title, recipe, note or tag. Enter keeps it, an empty line shows all.", m.filter)
	case "esc":
		m.filter, m.note = "", ""
		m.sift()
	case "s":
		m.sort = (m.sort + 1) % len(sorts)
		m.sift()
	case "f":
		m.cfg.Unit = 1 - m.cfg.Unit
	case "z":
		return m.bringBack()
	}
	if !ok {
		return nil
	}
	switch key {
	case "enter":
		return m.replayOf(e)
	case " ":
		m.picked[e.Name] = !m.picked[e.Name]
		m.list.move(1, len(m.shown))
	case "c":
		return m.comparePicked(e)
	case "o":
		m.mode, m.form = shelfOutcome, newOutcomeForm(e.Label.Outcome)
	case "r":
		m.open(shelfTitle, "New name for "+Clean(e.Title()), "Enter keeps it, Esc leaves it.", e.Label.Title)
	case "t":
		m.open(shelfTags, "Tags of "+Clean(e.Title()), "Separated by commas. Enter keeps them.", strings.Join(e.Label.Tags, ", "))
	case "n":
		m.open(shelfNote, "Note on "+Clean(e.Title()), "Enter keeps it, Esc leaves it.", e.Label.Note)
	case "x":
		m.open(shelfDiscard, "Put "+Clean(e.Title())+" into the bin? Type the word "+binWord+" and press Enter.", "Esc leaves it. z brings it back from the bin.", "")
	}
	return nil
}

const binWord = "bin"

func (m *shelf) open(md shelfMode, title, help, text string) {
	m.mode, m.entry = md, entry{title: title, help: help, text: Clean(text)}
}

// comparePicked compares what is picked, or the batch under the cursor with
// the only one picked.
func (m *shelf) comparePicked(here sessions.Entry) tea.Cmd {
	var es []sessions.Entry
	for _, e := range m.all {
		if m.picked[e.Name] {
			es = append(es, e)
		}
	}
	if len(es) == 1 && es[0].Name != here.Name {
		es = append(es, here)
	}
	if len(es) < 2 {
		m.note = "pick two or more with space first"
		return nil
	}
	return m.compareOf(es[:min(len(es), MostCompared)])
}

// typed takes a key while a line is being typed.
func (m *shelf) typed(k tea.KeyMsg) tea.Cmd {
	done, gone := m.entry.key(k)
	if gone {
		m.mode = shelfList
		return nil
	}
	if !done {
		return nil
	}
	md, text := m.mode, m.entry.value()
	e, ok := m.current()
	if md == shelfDiscard && !strings.EqualFold(text, binWord) {
		m.entry.wrong = "type the word " + binWord + " first, or Esc to leave it"
		return nil
	}
	m.mode = shelfList
	if md == shelfFilter {
		m.filter = text
		m.sift()
		return nil
	}
	if !ok {
		return nil
	}
	switch md {
	case shelfTitle:
		return m.amend(e, "renamed", sessions.Amendment{Title: &text})
	case shelfTags:
		tags := strings.Split(text, ",")
		for i := range tags {
			tags[i] = strings.TrimSpace(tags[i])
		}
		return m.amend(e, "tagged", sessions.Amendment{Tags: &tags})
	case shelfNote:
		return m.amend(e, "noted", sessions.Amendment{Note: &text})
	case shelfDiscard:
		return m.discard(e)
	}
	return nil
}

func (m *shelf) discard(e sessions.Entry) tea.Cmd {
	m.busy = true
	kept := m.shelf
	return func() tea.Msg {
		binned, err := kept.Discard(e)
		return changed{note: "in the bin: " + Clean(e.Title()) + "  (z brings it back)", binned: binned, err: err}
	}
}

func (m *shelf) bringBack() tea.Cmd {
	if len(m.binned) == 0 {
		m.note = "nothing has gone into the bin since you came here"
		return nil
	}
	m.busy = true
	name, kept := m.binned[len(m.binned)-1], m.shelf
	return func() tea.Msg {
		return changed{note: "brought back from the bin", back: name, err: kept.Restore(name)}
	}
}

// outcomeKey fills in how the batch came out.
func (m *shelf) outcomeKey(k tea.KeyMsg) tea.Cmd {
	done, gone := m.form.key(k)
	if done || gone {
		m.mode = shelfList
	}
	e, ok := m.current()
	o := m.form.outcome
	if !done || !ok || o == e.Label.Outcome {
		return nil
	}
	return m.amend(e, "kept how it came out", sessions.Amendment{Outcome: &o})
}
