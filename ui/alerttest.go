package ui

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// againAfter is how often a test alarm sounds until it is heard.
const againAfter = 5 * time.Second

// alertTest is the page that tries the alarm: it goes on sounding until the
// cook says that it was heard from the stove.
type alertTest struct {
	can, canQuiet bool
	sounding      bool // sound it again until heard
	busy          bool // a sound is on its way
	times         int
	last          time.Time
	heard         bool
	wrong         string
}

// alertTested is the outcome of one sound.
type alertTested struct{ err error }

func (t *alertTest) stop() { t.sounding = false }

func (t *alertTest) done(msg alertTested) {
	t.busy = false
	if msg.err != nil {
		t.wrong = Clean(msg.err.Error())
	}
}

// again sounds the alarm when it is time.
func (t *alertTest) again(m *live) tea.Cmd {
	if !t.sounding || t.busy || t.times > 0 && m.now.Sub(t.last) < againAfter {
		return nil
	}
	t.busy, t.last, t.wrong = true, m.now, ""
	t.times++
	sound := m.cfg.TestAlert
	return func() tea.Msg { return alertTested{sound()} }
}

// alertKey takes a key on the page.
func (m *live) alertKey(key string) tea.Cmd {
	t := &m.alert
	switch key {
	case "esc", "q", "y":
		m.close()
	case " ", "s":
		if t.can {
			t.sounding, t.heard, t.times = true, false, 0
			return t.again(m)
		}
	case "h", "enter":
		if t.times > 0 {
			t.sounding, t.heard = false, true
		}
	case "o":
		if t.canQuiet {
			quiet, set := !m.snap.Quiet, m.cfg.SetQuiet
			return func() tea.Msg { set(quiet); return nil }
		}
	}
	return nil
}

func (t *alertTest) draw(sc *scene, cv *canvas, x, y, w, h int) {
	lines := []string{"Sound it, go to the stove, listen."}
	switch {
	case !t.can:
		lines = append(lines, "No alarm can be sounded from here.")
	case t.heard:
		lines = append(lines, fmt.Sprintf("✓ Heard from the stove. Soundings: %d.", t.times), "space sounds it again")
	case t.sounding:
		lines = append(lines, fmt.Sprintf("Sounding every 5 s until you say so. Soundings so far: %d.", t.times), "h  I have heard it from the stove")
	default:
		lines = append(lines, "space  sound it until I say that I have heard it", "Esc    back to the pot")
	}
	if t.canQuiet {
		word := "o  turn alarms off (the screen still shows them)"
		if sc.snap.Quiet {
			word = "o  turn alarms on again"
		}
		lines = append(lines, word)
	}
	if t.wrong != "" {
		lines = append(lines, "! "+t.wrong)
	}
	if sc.snap.Quiet {
		lines = append(lines, "! Alarms are off now.")
	}
	row := 0
	for i, s := range lines {
		st := plain
		if i == 1 {
			st = strong
		}
		for _, line := range wrap(s, w-2, cv.ascii) {
			if row < h {
				cv.textTo(x+1, y+row, x+w, st, line)
			}
			row++
		}
	}
}
