package ui

import (
	tea "github.com/charmbracelet/bubbletea"

	"boildown/sessions"
)

// MostCompared is how many curves one chart can hold apart.
const MostCompared = 6

// compare is the screen that sets batches side by side.
type compare struct {
	cfg    Config
	pal    *palette
	kept   []*sessions.Session
	w, h   int
	by     sessions.Align
	whole  bool
	table  bool // in a low window: the table instead of the chart
	list   cursor
	got    *sessions.Comparison
	note   string
	inside bool // opened from the shelf: leaving goes back there
}

// NewCompare returns the screen that compares batches, at most six of them.
func NewCompare(cfg Config, batches []*sessions.Session) tea.Model {
	return &compare{cfg: cfg, pal: newPalette(cfg.Theme, cfg.Depth), kept: batches[:min(len(batches), MostCompared)], by: cfg.Align}
}

// compared is a comparison that has been worked out.
type compared struct {
	c   sessions.Comparison
	err error
}

func (m *compare) pull() tea.Msg {
	c, err := sessions.Compare(m.kept, m.by)
	return compared{c, err}
}

// Init works the comparison out.
func (m *compare) Init() tea.Cmd { return m.pull }

// Update takes one message.
func (m *compare) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case compared:
		m.got, m.note = &msg.c, ""
		if msg.err != nil {
			m.got, m.note = nil, "! "+Clean(msg.err.Error())
		}
	case tea.KeyMsg:
		return m, m.key(msg)
	}
	return m, nil
}

func (m *compare) key(k tea.KeyMsg) tea.Cmd {
	rows := 0
	if m.got != nil {
		rows = len(m.got.Rows)
	}
	for _, name := range keyNames(k) {
		if cmd := m.press(name, rows); cmd != nil {
			return cmd
		}
	}
	return nil
}

func (m *compare) press(key string, rows int) tea.Cmd {
	switch key {
	case "q", "esc", "ctrl+c":
		if m.inside {
			return func() tea.Msg { return closed{} }
		}
		return tea.Quit
	case "a":
		m.by = (m.by + 1) % (sessions.AlignStart + 1)
		return m.pull
	case "w":
		m.whole = !m.whole
	case "f":
		m.cfg.Unit = 1 - m.cfg.Unit
	case "t":
		m.table = !m.table
	case "down":
		m.list.top = min(m.list.top+1, max(rows-1, 0))
	case "up":
		m.list.top = max(m.list.top-1, 0)
	}
	return nil
}

// View draws the screen.
func (m *compare) View() string {
	if m.w == 0 || m.h == 0 {
		return ""
	}
	return m.paint(m.w, m.h).render(m.pal, false)
}
