package ui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/sessions"
)

// A Shelf is the folder of kept batches as the shelf screen needs it. Its
// methods are called from goroutines of the screen's, one at a time.
type Shelf interface {
	List() ([]sessions.Entry, error)
	Open(e sessions.Entry) (*sessions.Session, error)
	Amend(e sessions.Entry, a sessions.Amendment) error
	// Discard moves a batch to the bin; Restore brings it back by the name
	// that Discard gave.
	Discard(e sessions.Entry) (binned string, err error)
	Restore(binned string) error
}

// shelf is the screen of kept batches. Replay, comparison and outcome open
// inside it.
type shelf struct {
	cfg   Config
	pal   *palette
	shelf Shelf
	w, h  int

	all    []sessions.Entry
	shown  []sessions.Entry
	picked map[string]bool // by name, for the comparison
	list   cursor
	sort   int // index in sorts
	filter string
	ready  bool // the first list has come
	busy   bool // a call is under way
	note   string
	binned []string // what z brings back, the last first

	mode  shelfMode
	entry entry
	form  *outcomeForm
	inner tea.Model // a screen opened from here; nil for the list
}

type shelfMode uint8

const (
	shelfList shelfMode = iota
	shelfHelp
	shelfFilter
	shelfTitle
	shelfTags
	shelfNote
	shelfDiscard // asked whether to put into the bin
	shelfOutcome
)

var sorts = [...]string{"date", "title", "recipe", "target", "peak", "length", "texture"}

// NewShelf returns the screen of kept batches.
func NewShelf(cfg Config, s Shelf) tea.Model {
	return &shelf{cfg: cfg, pal: newPalette(cfg.Theme, cfg.Depth), shelf: s, picked: map[string]bool{}}
}

// listed is the shelf's contents.
type listed struct {
	all []sessions.Entry
	err error
}

// changed is what came of a change on the shelf.
type changed struct {
	note   string
	binned string // put into the bin
	back   string // brought back from it
	err    error
}

// opened is a screen that is ready to be shown.
type opened struct {
	m   tea.Model
	err error
}

// closed says that the inner screen has been left.
type closed struct{}

func (m *shelf) pull() tea.Msg {
	all, err := m.shelf.List()
	return listed{all, err}
}

// Init reads the shelf.
func (m *shelf) Init() tea.Cmd { return m.pull }

// Update takes one message.
func (m *shelf) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case listed:
		m.ready, m.busy = true, false
		if msg.err != nil {
			m.note = "! " + Clean(msg.err.Error())
		}
		m.all = msg.all
		m.sift()
	case changed:
		return m, m.take(msg)
	case opened:
		m.busy = false
		if msg.err != nil {
			m.note = "! " + Clean(msg.err.Error())
			return m, nil
		}
		m.inner = msg.m
		m.inner.Update(tea.WindowSizeMsg{Width: m.w, Height: m.h})
		return m, m.inner.Init()
	case closed:
		m.inner = nil
		return m, m.pull
	}
	if m.inner != nil {
		_, cmd := m.inner.Update(msg)
		return m, cmd
	}
	if k, ok := msg.(tea.KeyMsg); ok {
		return m, m.key(k)
	}
	return m, nil
}

// take notes what came of a change and reads the shelf again.
func (m *shelf) take(c changed) tea.Cmd {
	m.busy = false
	if c.err != nil {
		m.note = "! " + Clean(c.err.Error())
		return nil
	}
	m.note = c.note
	if c.binned != "" {
		m.binned = append(m.binned, c.binned)
	}
	if n := len(m.binned); c.back != "" && n > 0 {
		m.binned = m.binned[:n-1]
	}
	return m.pull
}

// sift chooses and orders what is shown, and keeps the cursor on its batch.
func (m *shelf) sift() {
	here, _ := m.current()
	m.shown = sessions.Filtered(m.all, sessions.Filter{Text: m.filter})
	if err := sessions.Sort(m.shown, sorts[m.sort]); err != nil {
		m.note = "! " + Clean(err.Error())
	}
	for i, e := range m.shown {
		if e.Name == here.Name {
			m.list.at = i
		}
	}
	m.list.move(0, len(m.shown))
}

// current is the batch under the cursor.
func (m *shelf) current() (sessions.Entry, bool) {
	if m.list.at >= len(m.shown) {
		return sessions.Entry{}, false
	}
	return m.shown[m.list.at], true
}

// replayOf opens a batch for replay.
func (m *shelf) replayOf(e sessions.Entry) tea.Cmd {
	cfg, kept, all := m.cfg, m.shelf, m.all
	m.busy, m.note = true, "opening "+Clean(e.Title())
	return func() tea.Msg {
		s, err := kept.Open(e)
		if err != nil {
			return opened{err: err}
		}
		cfg.Name, cfg.Fold = s.Title(), s.Header.Config
		cfg.Review = func() sessions.Verdict { return sessions.Review(s, sessions.UsualOf(all, e.Recipe, e.Name)) }
		r := NewReplay(cfg, sessions.NewReplay(s)).(*replay)
		r.inside = true
		return opened{m: r}
	}
}

// compareOf opens several batches beside each other.
func (m *shelf) compareOf(es []sessions.Entry) tea.Cmd {
	cfg, kept := m.cfg, m.shelf
	m.busy, m.note = true, "opening the comparison"
	return func() tea.Msg {
		var batches []*sessions.Session
		for _, e := range es {
			s, err := kept.Open(e)
			if err != nil {
				return opened{err: err}
			}
			batches = append(batches, s)
		}
		c := NewCompare(cfg, batches).(*compare)
		c.inside = true
		return opened{m: c}
	}
}

// amend tells the shelf something about a batch.
func (m *shelf) amend(e sessions.Entry, note string, a sessions.Amendment) tea.Cmd {
	m.busy = true
	kept := m.shelf
	return func() tea.Msg {
		a.When = time.Now()
		return changed{note: note, err: kept.Amend(e, a)}
	}
}
