package ui

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

var replayHelpPanel = lines{
	{"space", "play, pause"},
	{"+  -", "faster, slower: up to ×200"},
	{"→  ←", "one reading on, back"},
	{"]  [", "next, previous mark or prompt"},
	{".  ,", "10 s on, back"},
	{"PgDn PgUp", "a minute on, back"},
	{"Home End", "beginning, end"},
	{"g", "go to a time"},
	{"0 to 9", "go to that tenth of the batch"},
	{"w  f", "whole or close chart; °F/°C"},
	{"s", "summary; ↓ ↑ Enter to jump"},
	{"q", "leave"},
}

// key takes one key message. Nothing here can be lost, so keys may repeat.
func (m *replay) key(k tea.KeyMsg) tea.Cmd {
	if m.mode == replayGoto {
		m.typed(k)
		return nil
	}
	for _, name := range keyNames(k) {
		if cmd := m.press(name); cmd != nil {
			return cmd
		}
	}
	return nil
}

func (m *replay) press(key string) tea.Cmd {
	if m.mode == replayHelp && (key == "esc" || key == "?" || key == "q") {
		m.mode = replayWatch
		return nil
	}
	switch key {
	case "q", "ctrl+c":
		return m.leave()
	case "esc":
		if m.mode == replayWatch && m.inside {
			return m.leave()
		}
		m.mode = replayWatch
	case " ":
		m.toggle()
	case "+", "=":
		m.speed = min(m.speed+1, len(speeds)-1)
	case "-":
		m.speed = max(m.speed-1, 0)
	case "?":
		m.mode = replayHelp
	case "s":
		if m.mode == replaySummary {
			m.mode = replayWatch
		} else {
			m.mode = replaySummary
		}
	case "f":
		m.unit = 1 - m.unit
	case "w":
		m.view = m.view.turned(m.advice.Phase)
	case "g":
		m.mode, m.entry = replayGoto, entry{title: "Go to which time of the batch?", help: "Like 12:30, then Enter. Esc stays here."}
	default:
		m.move(key)
	}
	return nil
}

// move takes the keys that go somewhere.
func (m *replay) move(key string) {
	if m.rec == nil {
		return
	}
	from := m.want
	if m.mode == replaySummary && m.rec.key(key) {
		return
	}
	switch key {
	case "enter":
		if at, ok := m.rec.finding(); ok && m.mode == replaySummary {
			m.halt(at)
		}
	case "right":
		m.halt(m.rec.reading(from, +1))
	case "left":
		m.halt(m.rec.reading(from, -1))
	case "]":
		m.halt(m.rec.event(from, +1))
	case "[":
		m.halt(m.rec.event(from, -1))
	case ".":
		m.goTo(from + 10*time.Second)
	case ",":
		m.goTo(from - 10*time.Second)
	case "pgdown":
		m.goTo(from + time.Minute)
	case "pgup":
		m.goTo(from - time.Minute)
	case "home":
		m.goTo(0)
	case "end":
		m.halt(m.rec.end)
		m.mode = replaySummary
	default:
		if len(key) == 1 && key[0] >= '0' && key[0] <= '9' {
			m.goTo(m.rec.end * time.Duration(key[0]-'0') / 10)
		}
	}
}

// halt goes to a place to look at it.
func (m *replay) halt(at time.Duration) {
	m.playing = false
	m.goTo(at)
}

func (m *replay) toggle() {
	if m.rec == nil {
		return
	}
	m.playing = !m.playing
	if m.playing && m.want == m.rec.end {
		m.want = 0
	}
	if m.playing {
		m.mode = replayWatch
	}
}

func (m *replay) typed(k tea.KeyMsg) {
	done, gone := m.entry.key(k)
	if gone {
		m.mode = replayWatch
	}
	if !done {
		return
	}
	at, err := parseClock(m.entry.value())
	if err != nil {
		m.entry.wrong = err.Error()
		return
	}
	m.mode = replayWatch
	m.goTo(at)
}

// parseClock reads "12:30", "1:02:30" or whole minutes, "12".
func parseClock(s string) (time.Duration, error) {
	parts := strings.Split(s, ":")
	if len(parts) > 3 {
		return 0, fmt.Errorf("%q is not a time like 12:30", s)
	}
	total := time.Duration(0)
	for _, p := range parts {
		n, err := strconv.ParseUint(p, 10, 16)
		if err != nil {
			return 0, fmt.Errorf("%q is not a time like 12:30", s)
		}
		total = total*60 + time.Duration(n)
	}
	if len(parts) == 1 {
		total *= 60
	}
	return total * time.Second, nil
}
