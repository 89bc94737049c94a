package ui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"
)

const entryRunes = 200

// entry is a line of text being typed.
type entry struct {
	title string
	help  string
	text  string
	wrong string // why Enter did not take it
}

// key edits the line. done says that Enter was pressed, gone that the cook
// gave up.
func (e *entry) key(k tea.KeyMsg) (done, gone bool) {
	e.wrong = ""
	switch k.Type {
	case tea.KeyEnter:
		return true, false
	case tea.KeyEsc, tea.KeyCtrlC:
		return false, true
	case tea.KeyBackspace:
		if r := []rune(e.text); len(r) > 0 {
			e.text = string(r[:len(r)-1])
		}
	case tea.KeyCtrlU:
		e.text = ""
	case tea.KeySpace:
		e.add(" ")
	case tea.KeyRunes:
		e.add(string(k.Runes))
	}
	return false, false
}

func (e *entry) add(s string) {
	r := []rune(e.text + Clean(s))
	e.text = string(r[:min(len(r), entryRunes)])
}

func (e *entry) value() string { return strings.TrimSpace(e.text) }

// draw shows the line with its cursor; of a long one the end.
func (e *entry) draw(_ *scene, cv *canvas, x, y, w, h int) {
	at := y
	for _, line := range wrap(e.title, w-2, cv.ascii) {
		cv.textTo(x+1, at, x+w, strong, line)
		at++
	}
	at--
	room := w - 4
	shown := []rune(e.text)
	for len(shown) > 0 && textWidth(string(shown), cv.ascii) > room-1 {
		shown = shown[1:]
	}
	cv.fill(x+1, at+1, w-2, 1, field)
	end := cv.textTo(x+2, at+1, x+w-2, field, string(shown))
	cv.set(end, at+1, '█', plain)
	if at+2 < y+h {
		if e.wrong != "" {
			cv.textTo(x+1, at+2, x+w, warn, "! "+e.wrong+" ")
		} else {
			cv.textTo(x+1, at+2, x+w, plain, e.help)
		}
	}
}
