package ui

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/sessions"
)

// key takes one key message. Runes that the terminal delivered together are
// taken one after the other.
func (m *live) key(k tea.KeyMsg) tea.Cmd {
	switch m.mode {
	case modeNote, modeAdded, modeTarget, modeLeave, modeNext:
		return m.typed(k)
	case modeOutcome:
		return m.outcomeKey(k)
	}
	var cmds []tea.Cmd
	for _, name := range keyNames(k) {
		cmds = append(cmds, m.press(name))
		if m.mode != modeWatch && m.mode != modeLate {
			break
		}
	}
	return tea.Batch(cmds...)
}

// press takes one key by name.
func (m *live) press(key string) tea.Cmd {
	if m.mode == modeLate {
		return m.lateKey(key)
	}
	if !m.guard.fresh(key, m.now) {
		return nil
	}
	switch m.mode {
	case modeHelp:
		if key == "?" && m.w < helpWide && !m.help.marks {
			m.help.marks = true
			return nil
		}
		if key == "esc" || key == "?" || key == "q" || key == "enter" {
			m.close()
			return nil
		}
		m.close() // any other key does what it always does
	case modeAlert:
		return m.alertKey(key)
	}
	if mk, ok := markByKey(key); ok {
		m.mark(mk, 0, "")
		return nil
	}
	return m.command(key)
}

// command takes the keys that are not marks.
func (m *live) command(key string) tea.Cmd {
	switch key {
	case " ":
		m.answer()
	case "enter", "h":
		m.acknowledge()
	case "z":
		m.undo()
	case "?":
		m.mode = modeHelp
	case "f":
		m.unit = 1 - m.unit
	case "w":
		m.view = m.view.turned(m.snap.Advice.Phase)
	case "n":
		m.open(modeNote, "Note", "Enter keeps it, Esc leaves it for later.")
	case "a":
		m.open(modeAdded, "What went in?", "Enter keeps it, Esc leaves it for later.")
	case "t":
		m.open(modeTarget, "New target in "+m.unit.String()+", now "+temp(m.target(), m.unit), "A number, then Enter. Esc keeps the old one.")
	case "l":
		m.mode = modeLate
	case "o":
		if m.over() {
			m.mode = modeOutcome
			if m.form == nil {
				m.form = newOutcomeForm(sessions.Outcome{})
			}
		}
	case "x":
		if m.cfg.Next != nil && m.ended() {
			m.open(modeNext, "Close this batch and begin the next on the same recipe? Press Enter.", "Esc goes back. How this one came out can be told later, on the shelf.")
		}
	case "y":
		m.mode = modeAlert
		m.alert = alertTest{can: m.cfg.TestAlert != nil, canQuiet: m.cfg.SetQuiet != nil}
	case "q", "ctrl+c":
		m.leave()
	}
	return nil
}

// answer does what the standing prompt asks.
func (m *live) answer() {
	a := actFor(m.snap.Advice)
	switch {
	case a.mark != plateau.NoMark:
		m.mark(a.mark, 0, "")
	case a.ack:
		m.acknowledge()
	}
}

func (m *live) acknowledge() {
	a := m.snap.Advice
	if a.Standing&^a.Quiet == 0 {
		m.show("nothing is asked", toastNotice)
		return
	}
	m.say(plateau.Input{Kind: plateau.Acknowledged}, "heard: "+strings.ToLower(actFor(a).shout), toastDone)
}

// undo takes back a mark that is still on show; an older one only after the
// screen has said which it is.
func (m *live) undo() {
	last, ok := m.lastMark()
	switch {
	case m.toast.kind == toastMark || m.toast.kind == toastAsk:
		m.say(plateau.Input{Kind: plateau.Undone}, "taken back", toastDone)
	case ok:
		m.show("take back \""+markShort(last.Mark)+"\" of "+clock(last.At)+"? z again", toastAsk)
	default:
		m.show("there is no mark to take back", toastNotice)
	}
}

func (m *live) lastMark() (Event, bool) {
	events := m.hist.Events(nil, m.snap.At)
	for i := len(events) - 1; i >= 0; i-- {
		if events[i].Kind == EventMark {
			return events[i], true
		}
	}
	return Event{}, false
}

// hints are the keys worth naming now.
func (m *live) hints() []hint {
	switch m.mode {
	case modeHelp:
		if m.w < helpWide && !m.help.marks {
			return []hint{{"?", "keys of the marks"}, {"Esc", "back"}}
		}
		return []hint{{"?", "back to the pot"}}
	case modeOutcome:
		return []hint{{"Enter", "keep"}, {"Esc", "leave as it was"}}
	case modeLate, modeNote, modeAdded, modeTarget, modeLeave, modeNext:
		return []hint{{"Esc", "back to the pot"}}
	case modeAlert:
		return []hint{{"Esc", "back"}, {"h", "heard it"}}
	}
	all := []hint{{"?", "help"}}
	if a := actFor(m.snap.Advice); a.has && a.level == alarm && !a.quiet {
		all = []hint{{"Enter", "heard"}, {"?", "help"}}
	}
	switch m.snap.Advice.Phase {
	case plateau.Wait:
		all = append(all, hint{"m", "melt begins"}, hint{"y", "try the alarm"})
	case plateau.Melt:
		all = append(all, hint{"1-4", "how it looks"}, hint{"c", "cream in"})
	case plateau.Cream:
		all = append(all, hint{"v", "last cream in"})
	case plateau.Stall, plateau.Climb:
		all = append(all, hint{"d", "heat down"}, hint{"p", "pull"}, hint{"l", "late mark"})
	case plateau.Pulled, plateau.Dip:
		all = append(all, hint{"i", "dipped"}, hint{"b", "back on"})
	}
	if m.over() {
		all = append(all, hint{"o", "how it came out"})
	}
	if m.cfg.Next != nil && m.ended() {
		all = append(all, hint{"x", "next batch"})
	}
	all = append(all, hint{"n", "note"})
	if m.w < 110 {
		all = append(all, hint{"w", "whole/close"})
	}
	return append(all, hint{"f", "°F/°C"}, hint{"z", "undo"}, hint{"q", "end"})
}

// potOn reports whether the pot is on the heat, as far as is known.
func (m *live) potOn() bool {
	p := m.snap.Advice.Phase
	return p >= plateau.Melt && p <= plateau.Climb && !m.snap.Ended
}

// over reports whether the cook may be asked how the batch came out: never
// while the pot is on.
func (m *live) over() bool { return m.cfg.Outcome != nil && m.ended() }

// ended reports whether the batch is over, as far as is known.
func (m *live) ended() bool {
	return m.snap.Advice.Phase == plateau.Done || m.snap.Ended && !m.potOn()
}

// outcomeKept says whether an outcome was kept.
type outcomeKept struct{ err error }

func (m *live) outcomeKey(k tea.KeyMsg) tea.Cmd {
	done, gone := m.form.key(k)
	if done || gone {
		m.close()
	}
	if !done {
		return nil
	}
	o, keep := m.form.outcome, m.cfg.Outcome
	return func() tea.Msg { return outcomeKept{keep(o)} }
}

func (m *live) keptOutcome(msg outcomeKept) {
	if msg.err != nil {
		m.show("! "+Clean(msg.err.Error()), toastNotice)
		return
	}
	m.show("kept how it came out", toastDone)
}

// lateEntry is the page that asks how long ago a mark was made.
type lateEntry struct {
	minutes string
	set     bool // the minutes stand, the next key is the mark
}

// lateKey takes minutes, then the key of a mark.
func (m *live) lateKey(key string) tea.Cmd {
	l := &m.late
	switch {
	case key == "esc" || key == "ctrl+c" || key == "q":
		m.close()
		return nil
	case key == "backspace":
		*l = lateEntry{}
		return nil
	case !l.set && len(key) == 1 && key[0] >= '0' && key[0] <= '9':
		if len(l.minutes) < 2 {
			l.minutes += key
		}
		return nil
	case key == "enter" || key == " ":
		l.set = l.minutes != ""
		return nil
	}
	mk, ok := markByKey(key)
	if !ok || l.minutes == "" {
		return nil
	}
	minutes := 0
	for _, d := range l.minutes {
		minutes = minutes*10 + int(d-'0')
	}
	m.close()
	m.guard.fresh(key, m.now) // the same key held on must not mark again
	m.mark(mk, min(time.Duration(minutes)*time.Minute, m.snap.At), "")
	return nil
}

func (l *lateEntry) draw(_ *scene, cv *canvas, x, y, w, h int) {
	if h > 6 {
		y++
	}
	switch {
	case l.minutes == "":
		cv.textTo(x+1, y, x+w, strong, "How many minutes ago? Type 1 to 99.")
	case l.set:
		cv.textTo(x+1, y, x+w, strong, l.minutes+" min ago: now the key of the mark.")
	default:
		cv.textTo(x+1, y, x+w, strong, l.minutes+" min ago: now the key of the mark (Enter first for 1 to 4).")
	}
	drawMarkKeys(cv, x, y+1, w, h-2)
}
