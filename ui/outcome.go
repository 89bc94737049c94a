package ui

import (
	"fmt"
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/sessions"
)

// outcomeForm asks how a batch came out. Each answer has its key, so nothing
// needs to be reached for; what is not answered stays unjudged.
type outcomeForm struct {
	outcome sessions.Outcome
	typing  *outcomeText // the answer being typed, nil while keys choose
	entry   entry
}

// outcomeText is an answer in the cook's own words.
type outcomeText struct {
	key, title string
	get        func(*sessions.Outcome) string
	set        func(*sessions.Outcome, string) error
}

var outcomeTexts = []outcomeText{
	{"e", "How does it taste?",
		func(o *sessions.Outcome) string { return o.Taste },
		func(o *sessions.Outcome, s string) error { o.Taste = s; return nil }},
	{"p", "How many pieces came of it?",
		func(o *sessions.Outcome) string {
			if o.Pieces == 0 {
				return ""
			}
			return strconv.Itoa(o.Pieces)
		},
		func(o *sessions.Outcome, s string) error {
			n, err := strconv.ParseUint(s, 10, 16)
			if s != "" && err != nil {
				return fmt.Errorf("a whole number is needed, like 48")
			}
			o.Pieces = int(n)
			return nil
		}},
	{"n", "Notes: what to change next time",
		func(o *sessions.Outcome) string { return o.Text },
		func(o *sessions.Outcome, s string) error { o.Text = s; return nil }},
}

// The choices that a key goes through, the first of them being no answer.
var (
	coats   = []string{"", "held", "slid"}
	colours = []string{"", "pale", "golden", "amber", "dark", "burnt"}
	balls   = []string{"", "thread", "soft ball", "firm ball", "hard ball", "soft crack", "hard crack"}
)

var coatWords = map[string]string{"held": "held on", "slid": "slid off"}

func newOutcomeForm(o sessions.Outcome) *outcomeForm { return &outcomeForm{outcome: o} }

// key takes one key: done keeps the outcome, gone leaves it as it was.
func (f *outcomeForm) key(k tea.KeyMsg) (done, gone bool) {
	if f.typing != nil {
		f.typed(k)
		return false, false
	}
	for _, name := range keyNames(k) {
		if done, gone = f.press(name); done || gone || f.typing != nil {
			break
		}
	}
	return done, gone
}

func (f *outcomeForm) press(key string) (done, gone bool) {
	o := &f.outcome
	switch key {
	case "1", "2", "3", "4", "5", "6", "7":
		o.Texture = toggled(o.Texture, int(key[0]-'0'))
	case "s":
		o.Coat = following(coats, o.Coat)
	case "c":
		o.Colour = following(colours, o.Colour)
	case "w":
		o.Water = following(balls, o.Water)
	case "g":
		o.Grain = !o.Grain
	case "b":
		o.Scorch = !o.Scorch
	case "x":
		o.Thrown = !o.Thrown
	case "enter":
		return true, false
	case "esc", "q", "ctrl+c":
		return false, true
	default:
		for i := range outcomeTexts {
			if t := &outcomeTexts[i]; t.key == key {
				f.typing = t
				f.entry = entry{title: t.title, help: "Enter keeps the line.", text: Clean(t.get(o))}
			}
		}
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

// following is the choice after the one that stands. A word of the cook's own
// from elsewhere gives way to no answer.
func following(choices []string, now string) string {
	for i, c := range choices {
		if c == now {
			return choices[(i+1)%len(choices)]
		}
	}
	return ""
}

func (f *outcomeForm) typed(k tea.KeyMsg) {
	kept, left := f.entry.key(k)
	if kept {
		if err := f.typing.set(&f.outcome, f.entry.value()); err != nil {
			f.entry.wrong = err.Error()
			return
		}
	}
	if kept || left {
		f.typing = nil
	}
}

// answer is one row of the form.
type answer struct {
	key, text string
	given     bool
}

func (f *outcomeForm) answers() []answer {
	o := &f.outcome
	var all []answer
	for i := 1; i <= sessions.Textures; i++ {
		all = append(all, answer{fmt.Sprint(i), sessions.Outcome{Texture: i}.TextureWord(), o.Texture == i})
	}
	say := func(key, what, word string) {
		if word != "" {
			what += ": " + Clean(word)
		}
		all = append(all, answer{key, what, word != ""})
	}
	coat := coatWords[o.Coat]
	if coat == "" {
		coat = o.Coat
	}
	say("s", "coat", coat)
	say("c", "colour", o.Colour)
	say("w", "in cold water", o.Water)
	all = append(all, answer{"g", "grainy", o.Grain}, answer{"b", "tastes burnt", o.Scorch})
	say("e", "taste", o.Taste)
	say("p", "pieces", outcomeTexts[1].get(o))
	all = append(all, answer{"x", "thrown away", o.Thrown})
	say("n", "notes", o.Text)
	return all
}

// draw lists the answers in as many columns as they need.
func (f *outcomeForm) draw(sc *scene, cv *canvas, x, y, w, h int) {
	if f.typing != nil {
		f.entry.draw(sc, cv, x, y, w, h)
		return
	}
	if h < 1 {
		return
	}
	all := f.answers()
	per := (len(all) + h - 1) / h
	rows := (len(all) + per - 1) / per
	wide := w / per
	for i, a := range all {
		cx, cy := x+i/rows*wide, y+i%rows
		st, box := plain, "[ ] "
		if a.given {
			st, box = strong, "[x] "
		}
		cv.text(cx+1, cy, keyCap, a.key)
		cv.textTo(cx+3, cy, cx+wide, st, box+a.text)
	}
	if rows == h {
		return
	}
	cv.textTo(x+1, y+rows, x+w, faint, "Enter keeps it, Esc leaves it as it was.")
}
