package ui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/plateau"
	"boildown/probe"
)

// live is the screen of a running batch.
type live struct {
	cfg   Config
	pal   *palette
	hist  *History
	feed  Feed
	tell  Teller
	w, h  int
	now   time.Time // of the last pull; a press happens at this time
	snap  Snapshot
	unit  probe.Unit
	view  view
	guard *keyGuard

	outbox  []plateau.Input // told in order, one call at a time
	sending bool

	toast  toast
	mode   mode
	entry  entry
	drafts map[mode]string
	late   lateEntry
	help   helpPage
	form   *outcomeForm
	alert  alertTest
	flashy bool // an urgent prompt stands
	words  sentences
}

// mode is what has the keyboard.
type mode uint8

const (
	modeWatch   mode = iota
	modeHelp         // help
	modeAlert        // alert test
	modeNote         // typing a note
	modeAdded        // typing what was added
	modeTarget       // typing a target
	modeLate         // choosing how long ago
	modeLeave        // asked whether to end
	modeOutcome      // saying how the batch came out
	modeNext         // asked whether to go on with the next batch
)

// toast says for a while what has just happened.
type toast struct {
	text  string
	until time.Time
	kind  toastKind
}

type toastKind uint8

const (
	toastDone   toastKind = iota // something was done
	toastMark                    // a mark was made: z takes it back at once
	toastAsk                     // z again takes back an older mark
	toastNotice                  // nothing was done
)

const toastFor = 5 * time.Second

// NewLive returns the screen of a running batch. It pulls snapshots from feed,
// draws its chart from hist, which the pump fills with [History.Add], and tells
// tell what the cook says. It quits when the cook ends the batch.
func NewLive(cfg Config, hist *History, feed Feed, tell Teller) tea.Model {
	return &live{
		cfg: cfg, pal: newPalette(cfg.Theme, cfg.Depth), hist: hist, feed: feed, tell: tell,
		unit: cfg.Unit, guard: newKeyGuard(time.Second / time.Duration(cfg.rate())),
		drafts: map[mode]string{}, words: promptText,
	}
}

// pulled is a tick with the newest snapshot.
type pulled struct {
	now  time.Time
	snap Snapshot
}

// told says that the outbox's inputs have been handed over.
type told struct{}

// pull gets a snapshot at once.
func (m *live) pull() tea.Msg { return pulled{time.Now(), m.feed.Snapshot()} }

// Init begins to pull.
func (m *live) Init() tea.Cmd { return m.pull }

// next pulls again after one redraw's time.
func (m *live) next() tea.Cmd {
	return tea.Tick(time.Second/time.Duration(m.cfg.rate()), func(t time.Time) tea.Msg {
		return pulled{t, m.feed.Snapshot()}
	})
}

// Update takes one message.
func (m *live) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case pulled:
		m.take(msg)
		return m, tea.Batch(m.next(), m.alert.again(m))
	case told:
		m.sending = false
		return m, m.post()
	case alertTested:
		m.alert.done(msg)
	case outcomeKept:
		m.keptOutcome(msg)
	case tea.KeyMsg:
		cmd := m.key(msg)
		return m, tea.Batch(cmd, m.post())
	}
	return m, nil
}

// take notes a snapshot. An alarm that begins closes whatever page is open:
// what has been typed is kept for the next time.
func (m *live) take(p pulled) {
	m.now, m.snap = p.now, p.snap
	was := m.flashy
	m.flashy = urgent(p.snap.Advice)
	if m.flashy && !was && m.mode != modeWatch {
		m.close()
	}
	if m.now.After(m.toast.until) {
		m.toast = toast{}
	}
}

// close goes back to the batch.
func (m *live) close() {
	if m.mode == modeNote || m.mode == modeAdded {
		m.drafts[m.mode] = m.entry.text
	}
	m.mode, m.entry, m.late, m.help = modeWatch, entry{}, lateEntry{}, helpPage{}
	m.alert.stop()
}

// post hands the outbox over unless a call is still under way.
func (m *live) post() tea.Cmd {
	if m.sending || len(m.outbox) == 0 {
		return nil
	}
	out, tell := m.outbox, m.tell
	m.outbox, m.sending = nil, true
	return func() tea.Msg {
		for _, in := range out {
			tell.Tell(in)
		}
		return told{}
	}
}

// say puts an input into the outbox and shows it.
func (m *live) say(in plateau.Input, text string, kind toastKind) {
	m.outbox = append(m.outbox, in)
	m.show(text, kind)
}

func (m *live) show(text string, kind toastKind) {
	m.toast = toast{text: text, until: m.now.Add(toastFor), kind: kind}
}

// mark tells a mark that was made ago before now.
func (m *live) mark(mk plateau.Mark, ago time.Duration, text string) {
	if !m.guard.fresh("mark "+mk.String()+text, m.now) {
		return
	}
	s := markLabel(mk)
	if text != "" {
		s += ": " + text
	}
	if ago > 0 {
		s += ", " + long(ago) + " ago"
	} else {
		s += " at " + clock(m.snap.At)
	}
	m.say(plateau.Input{Kind: plateau.Marked, Mark: mk, Ago: ago, Text: text}, s, toastMark)
}

// View draws the screen.
func (m *live) View() string {
	if m.w == 0 || m.h == 0 {
		return ""
	}
	sc := m.scene()
	return sc.paint(m.w, m.h).render(m.pal, sc.flash)
}

func (m *live) scene() *scene {
	sc := &scene{
		cfg: m.cfg, unit: m.unit, snap: m.snap, hist: m.hist, view: m.view,
		flash: m.flashy && m.now.UnixMilli()/half.Milliseconds()%2 == 0,
		foot:  m.toast.line(m.w), panel: m.panel(), keys: m.hints(),
		asks: m.mode == modeWatch, words: m.words,
	}
	return sc
}

// line is the toast with its way back.
func (t toast) line(w int) string {
	switch {
	case t.text == "" || t.kind == toastAsk || t.kind == toastNotice:
		return t.text
	case t.kind == toastMark:
		back := "  (z takes it back)"
		if room := w - 4 - len(back); len(t.text) > room && room > 8 {
			r := []rune(t.text)
			t.text = string(r[:min(len(r), room)])
		}
		return "✓ " + t.text + back
	}
	return "✓ " + t.text
}

// panel is the page in the chart's place, nil for the chart.
func (m *live) panel() panel {
	switch m.mode {
	case modeHelp:
		return &m.help
	case modeAlert:
		return &m.alert
	case modeNote, modeAdded, modeTarget, modeLeave, modeNext:
		return &m.entry
	case modeLate:
		return &m.late
	case modeOutcome:
		return m.form
	}
	return nil
}
