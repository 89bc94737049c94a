package ui

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/sessions"
)

// outcomeForm asks how a batch came out. Each row has its key, so nothing
// needs to be reached for; what is not answered stays unjudged.
type outcomeForm struct {
	outcome sessions.Outcome
	typing  bool
	entry   entry
}

const textures = 7

func newOutcomeForm(o sessions.Outcome) *outcomeForm { return &outcomeForm{outcome: o} }

// key takes one key: done keeps the outcome, gone leaves it as it was.
func (f *outcomeForm) key(k tea.KeyMsg) (done, gone bool) {
	if f.typing {
		return f.typed(k)
	}
	if k.Paste {
		return false, false
	}
	switch key := strings.ToLower(k.String()); key {
	case "1", "2", "3", "4", "5", "6", "7":
		f.outcome.Texture = toggled(f.outcome.Texture, int(key[0]-'0'))
	case "g":
		f.outcome.Grain = !f.outcome.Grain
	case "b":
		f.outcome.Scorch = !f.outcome.Scorch
	case "n":
		f.typing = true
		f.entry = entry{title: "In your own words: colour, taste, pieces, held or slid off", help: "Enter keeps the line.", text: Clean(f.outcome.Text)}
	case "enter":
		return true, false
	case "esc", "q", "ctrl+c":
		return false, true
	}
	return false, false
}

// toggled takes a choice back when it is made twice.
func toggled(now, choice int) int {
	if now == choice {
		return 0
	}
	return choice
}

func (f *outcomeForm) typed(k tea.KeyMsg) (done, gone bool) {
	kept, left := f.entry.key(k)
	if kept {
		f.outcome.Text = f.entry.value()
	}
	f.typing = !kept && !left
	return false, false
}

func (f *outcomeForm) draw(sc *scene, cv *canvas, x, y, w, h int) {
	if f.typing {
		f.entry.draw(sc, cv, x, y, w, h)
		return
	}
	row := 0
	put := func(key, s string, on bool) {
		if row >= h {
			return
		}
		st, box := plain, "[ ] "
		if on {
			st, box = strong, "[x] "
		}
		cv.text(x+1, y+row, keyCap, key)
		cv.textTo(x+3, y+row, x+w, st, box+s)
		row++
	}
	cols := 1
	if h < 12 {
		cols = 2
	}
	per := (textures + cols - 1) / cols
	for i := 1; i <= textures; i++ {
		st, box := plain, "[ ] "
		if f.outcome.Texture == i {
			st, box = strong, "[x] "
		}
		cx, cy := x+(i-1)/per*(w/cols), y+(i-1)%per
		if cy < y+h {
			cv.text(cx+1, cy, keyCap, fmt.Sprint(i))
			cv.textTo(cx+3, cy, cx+w/cols, st, box+sessions.Outcome{Texture: i}.TextureWord())
		}
	}
	row = per
	put("g", "grainy: it crystallised", f.outcome.Grain)
	put("b", "tastes burnt", f.outcome.Scorch)
	put("n", "in your own words: "+Clean(f.outcome.Text), f.outcome.Text != "")
	if row < h {
		cv.textTo(x+1, y+row, x+w, faint, "Enter keeps it, Esc leaves it as it was.")
	}
}
