package ui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/probe"
)

// replay is the screen of a recorded batch: the live screen with a transport
// under it.
type replay struct {
	cfg  Config
	pal  *palette
	tape Tape
	w, h int
	now  time.Time
	unit probe.Unit
	view view

	rec     *recording // nil until the batch has been read through
	at      time.Duration
	advice  plateau.Advice
	want    time.Duration // where to go next
	seeking bool          // a seek is under way
	playing bool
	speed   int // index in speeds
	mode    replayMode
	entry   entry
	words   sentences
	inside  bool // opened from the shelf: leaving goes back there
}

type replayMode uint8

const (
	replayWatch replayMode = iota
	replayHelp
	replaySummary
	replayGoto
)

var speeds = [...]int{1, 2, 5, 10, 20, 50, 100, 200}

// NewReplay returns the screen of a recorded batch. It reads tape through once
// for the chart and the summary, then plays it from the beginning.
func NewReplay(cfg Config, tape Tape) tea.Model {
	return &replay{cfg: cfg, pal: newPalette(cfg.Theme, cfg.Depth), tape: tape, unit: cfg.Unit, speed: 4, words: promptText}
}

// loaded is a batch that has been read through.
type loaded struct {
	rec    *recording
	advice plateau.Advice // at the beginning
}

// sought is where a seek has arrived.
type sought struct {
	at     time.Duration
	advice plateau.Advice
}

// beat is a tick of the replay's clock.
type beat struct{ now time.Time }

// pull reads the batch through at once.
func (m *replay) pull() tea.Msg {
	rec := readThrough(m.tape)
	if m.cfg.Review != nil {
		v := m.cfg.Review()
		rec.verdict = &v
	}
	return loaded{rec, m.tape.Seek(m.at)}
}

// leave ends the screen, or goes back to where it was opened from.
func (m *replay) leave() tea.Cmd {
	if m.inside {
		return func() tea.Msg { return closed{} }
	}
	return tea.Quit
}

// Init reads the batch through and starts the clock.
func (m *replay) Init() tea.Cmd { return tea.Batch(m.pull, m.next()) }

func (m *replay) next() tea.Cmd {
	return tea.Tick(time.Second/time.Duration(m.cfg.rate()), func(t time.Time) tea.Msg { return beat{t} })
}

// Update takes one message.
func (m *replay) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case loaded:
		m.rec, m.advice = msg.rec, msg.advice
		m.cfg.Fold = m.tape.Config()
	case beat:
		m.advance(msg.now)
		return m, tea.Batch(m.next(), m.seek())
	case sought:
		m.seeking = false
		m.at, m.advice = msg.at, msg.advice
		return m, m.seek()
	case tea.KeyMsg:
		cmd := m.key(msg)
		return m, tea.Batch(cmd, m.seek())
	}
	return m, nil
}

// advance moves on by as much batch time as has passed, and stops at the end
// with the summary.
func (m *replay) advance(now time.Time) {
	passed := min(now.Sub(m.now), time.Second)
	first := m.now.IsZero()
	m.now = now
	if !m.playing || m.rec == nil || first {
		return
	}
	m.want = min(m.want+passed*time.Duration(speeds[m.speed]), m.rec.end)
	if m.want == m.rec.end {
		m.playing, m.mode = false, replaySummary
	}
}

// seek asks for the wanted place unless an answer is still due.
func (m *replay) seek() tea.Cmd {
	if m.seeking || m.rec == nil || m.want == m.at {
		return nil
	}
	m.seeking = true
	tape, at := m.tape, m.want
	return func() tea.Msg { return sought{at, tape.Seek(at)} }
}

// goTo wants another place in the batch.
func (m *replay) goTo(at time.Duration) {
	if m.rec == nil {
		return
	}
	m.want = min(max(at, 0), m.rec.end)
	if m.mode == replaySummary {
		m.mode = replayWatch
	}
}

// View draws the screen.
func (m *replay) View() string {
	if m.w == 0 || m.h == 0 {
		return ""
	}
	return m.scene().paint(m.w, m.h).render(m.pal, false)
}

func (m *replay) scene() *scene {
	sc := &scene{
		cfg: m.cfg, unit: m.unit, view: m.view, words: m.words, strip: m.strip,
		snap: Snapshot{At: m.at, Advice: m.advice, Linked: true, Recording: true},
		keys: []hint{{"?", "help"}, {"space", m.playWord()}, {"+ -", "speed"}, {"[ ]", "mark or prompt"}, {"← →", "one reading"}, {"s", "summary"}, {"q", "leave"}},
	}
	if m.rec == nil {
		sc.foot = "reading the batch"
		return sc
	}
	sc.hist, sc.ghosts = m.rec.hist, m.rec.ghosts
	switch m.mode {
	case replayHelp:
		sc.panel = replayHelpPanel
	case replaySummary:
		sc.panel = m.rec
	case replayGoto:
		sc.panel = &m.entry
	}
	return sc
}

func (m *replay) playWord() string {
	if m.playing {
		return "pause"
	}
	return "play"
}
