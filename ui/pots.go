package ui

import (
	"fmt"
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/probe"
)

// Pot is one of several pots as another machine tells of it.
type Pot struct {
	Name   string         // of the batch, from outside
	Topic  string         // where it is told of, below what is watched; "" for that itself
	Advice plateau.Advice // as far as it is told: temperature, phase, forecast, prompts, doubt
	Texts  map[plateau.Prompt]string
	Silent time.Duration // since the last line came from its probe, when it was told
	Heard  time.Duration // since it was told
	Linked bool          // its probe answered then
	Note   string        // of its probe, from outside
	Over   bool          // the batch has ended
	Gone   bool          // its program or its network has vanished
}

// oldAfter is when what was told of a pot is old: it is told each second.
const oldAfter = 5 * time.Second

// Age is how old the pot's temperature is.
func (p Pot) Age() time.Duration { return p.Silent + p.Heard }

// Title is the batch's name and, where it differs, the pot's own.
func (p Pot) Title() string {
	name := Clean(p.Name)
	if p.Topic == "" || strings.EqualFold(p.Name, p.Topic) {
		return name
	}
	return Clean(p.Topic) + " " + name
}

// loud is what to say loudest of a pot, and the sentence under it.
func (p Pot) loud() (a act, sentence string) {
	switch {
	case p.Over:
		return act{shout: "OVER"}, "The batch has ended."
	case p.Gone:
		return act{shout: "LOST", level: alarm}, "Its program or its network has vanished: go to the pot."
	case p.Heard > oldAfter:
		return act{shout: "NO WORD", level: alarm}, "Nothing has come from it for " + long(p.Heard) + ": go to the pot."
	}
	a = actFor(p.Advice)
	switch {
	case a.has:
		sentence = Clean(p.Texts[a.prompt])
	case !p.Linked || p.Advice.Doubt != probe.FaultNone:
		sentence = "Probe: " + p.doubt()
	default:
		sentence = phaseSentence(p.Advice)
	}
	if a.quiet {
		a.level, sentence = calm, "heard: "+sentence
	}
	return a, sentence
}

func (p Pot) doubt() string {
	if p.Note != "" {
		return Clean(p.Note)
	}
	if p.Advice.Doubt == probe.FaultNone {
		return "not connected"
	}
	return p.Advice.Doubt.String()
}

// now is the temperature in words, in brackets when it is old or doubted.
func (p Pot) now(u probe.Unit) string {
	a := p.Advice
	switch {
	case !a.HasNow:
		return "no reading"
	case p.Over || p.Gone || p.Age() > oldAfter || a.Doubt != probe.FaultNone:
		return "(" + temp(a.Now, u) + ")"
	}
	return temp(a.Now, u)
}

// left is the time to the target with its spread, in words, as old as the rest.
func (p Pot) left() string {
	a := p.Advice
	switch {
	case p.Over || p.Gone:
		return ""
	case a.Forecast.Ok():
		f := a.Forecast // by the clock it has run on since
		f.ETA, f.Low, f.High = f.ETA-p.Heard, f.Low-p.Heard, f.High-p.Heard
		r := remainingOf(f)
		s := r.figures() + " " + r.unit
		if f.Guess || p.Heard > oldAfter {
			return "guess " + s
		}
		return s
	}
	short, _ := whyWords(a.Why)
	return short
}

// News is what of a pot must be said at once when it changes.
func (p Pot) News() string {
	a, sentence := p.loud()
	if a.has || p.Heard > oldAfter {
		sentence = "" // its figures change all the time
	}
	return strings.Join([]string{p.Advice.Phase.String(), a.shout, sentence, fmt.Sprint(p.Advice.Doubt, p.Linked)}, "|")
}

// Summary is a pot in one line: what it shows, the phase, what to do, the time
// left and its age.
func (p Pot) Summary(u probe.Unit) string {
	a, sentence := p.loud()
	words := []string{p.now(u), phaseName(p.Advice.Phase), strings.TrimSuffix(a.shout+": "+sentence, ": ")}
	if s := p.left(); s != "" {
		words = append(words, temp(p.Advice.Target, u)+" "+s)
	}
	return strings.Join(append(words, long(p.Age())+" old"), ", ")
}

// A Board tells of every pot, and what is wrong with the way to them. It is
// called as often as the screen draws and must not block.
type Board interface {
	Pots(now time.Time) (pots []Pot, note string)
}

// pots is the screen of every pot.
type pots struct {
	cfg   Config
	pal   *palette
	board Board
	w, h  int
	all   []Pot
	note  string
	from  int // the first one shown, when there are more than fit
}

// NewPots returns the screen that shows every pot of a board. It takes no
// marks: those belong where the pot is.
func NewPots(cfg Config, b Board) tea.Model {
	return &pots{cfg: cfg, pal: newPalette(cfg.Theme, cfg.Depth), board: b}
}

// looked is one look at the board.
type looked struct {
	all  []Pot
	note string
}

func (m *pots) look(t time.Time) tea.Msg {
	all, note := m.board.Pots(t)
	return looked{all, note}
}

// Init looks at once.
func (m *pots) Init() tea.Cmd { return func() tea.Msg { return m.look(time.Now()) } }

// Update takes one message.
func (m *pots) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case looked:
		m.all, m.note = msg.all, msg.note
		return m, tea.Tick(time.Second/time.Duration(m.cfg.rate()), m.look)
	case tea.KeyMsg:
		switch msg.String() {
		case "q", "ctrl+c", "esc":
			return m, tea.Quit
		case "down", "pgdown", " ", "j":
			m.from++
		case "up", "pgup", "k":
			m.from--
		case "u":
			m.cfg.Unit = map[probe.Unit]probe.Unit{probe.UnitF: probe.UnitC}[m.cfg.Unit]
			if m.cfg.Unit != probe.UnitC {
				m.cfg.Unit = probe.UnitF
			}
		}
	}
	return m, nil
}

// need ranks pots by how much they need a person.
func (p Pot) need() int {
	a, _ := p.loud()
	if !p.Over && urgent(p.Advice) {
		return int(alarm) + 1 // even where nothing comes from it any more
	}
	return int(a.level)
}

// ordered puts those that need a person first when not all can be seen; else
// each keeps its place, where the eye looks for it.
func (m *pots) ordered(fit int) []Pot {
	if len(m.all) <= fit {
		return m.all
	}
	all := slices.Clone(m.all)
	slices.SortStableFunc(all, func(x, y Pot) int {
		return y.need() - x.need()
	})
	return all
}
