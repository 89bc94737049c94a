package ui

import (
	"math"
	"sync"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

const (
	bucketCount = 8192                   // 12 h fit at 8 s a bucket, 2 h 16 min at 1 s
	firstWidth  = 250 * time.Millisecond // a bucket's width to begin with; doubles whenever the batch outgrows the array
	eventCount  = 1024                   // marks, prompts and phases that are kept
	joinWithin  = 5 * time.Second        // readings further apart than this are not joined by a line
	maxBatch    = 1000 * time.Hour       // later times come from a broken clock and are not charted
)

// bucket sums up the readings of one stretch of the batch. Lo and Hi keep a
// spike of a single reading visible however wide the bucket grows.
type bucket struct {
	first, last float32 // s after the bucket's start: the first and last good reading
	sum, lo, hi float32 // °C, of the good readings
	doubt       float32 // °C, the last doubted reading
	n, bad      uint32  // good readings; readings and silences not to be used
	doubted     bool    // doubt holds a value
	cut         bool    // more than [joinWithin] passed before a good reading in here
}

// Event is a mark, a prompt or a change of phase on the chart.
type Event struct {
	At     time.Duration // when it happened, which for a late mark is before it was told
	Kind   EventKind
	Mark   plateau.Mark
	Prompt plateau.Prompt
	Phase  plateau.Phase
	Text   string // of a note or an addition

	told time.Duration // when it was told
	gone time.Duration // when it was taken back; 0 while it stands
}

// EventKind says which of its fields an [Event] uses.
type EventKind uint8

// The kinds of event.
const (
	EventMark EventKind = iota
	EventPrompt
	EventPhase
)

// History is what the chart of one batch is drawn from. It takes every reading
// and keeps a fixed amount of memory however long the batch runs, at falling
// resolution. The pump adds to it while the screen draws from it.
type History struct {
	mu      sync.Mutex
	buckets []bucket
	width   time.Duration
	used    int // buckets that may hold something: those before it
	lastOK  time.Duration
	anyOK   bool
	end     time.Duration
	phase   plateau.Phase
	events  []Event
}

// NewHistory returns an empty history. Its memory is taken at once and does
// not grow: about 300 KB.
func NewHistory() *History {
	return &History{
		buckets: make([]bucket, bucketCount),
		width:   firstWidth,
		events:  make([]Event, 0, eventCount),
	}
}

// Add takes one input and what the fold said of it. Call it after every step.
func (h *History) Add(in plateau.Input, a plateau.Advice) {
	if in.At < 0 || in.At > maxBatch {
		return
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.end = max(h.end, in.At)
	switch in.Kind {
	case plateau.Measured:
		h.reading(in.At, a)
	case plateau.Silent:
		h.at(in.At).bad++
	case plateau.Marked:
		h.keep(Event{At: max(in.At-max(in.Ago, 0), 0), Kind: EventMark, Mark: in.Mark, Text: Clean(in.Text), told: in.At})
	case plateau.Undone:
		h.undo(in.At)
	}
	if a.Phase != h.phase {
		h.phase = a.Phase
		h.keep(Event{At: in.At, Kind: EventPhase, Phase: a.Phase, told: in.At})
	}
	for p := range a.Began.All {
		h.keep(Event{At: in.At, Kind: EventPrompt, Prompt: p, told: in.At})
	}
}

func (h *History) reading(at time.Duration, a plateau.Advice) {
	b := h.at(at)
	c := float32(a.C)
	finite := a.HasC && !math.IsNaN(float64(a.C)) && math.Abs(float64(a.C)) < 5000
	if a.Fault != probe.FaultNone || !finite {
		b.bad++
		if finite {
			b.doubt, b.doubted = c, true
		}
		return
	}
	s := float32((at % h.width).Seconds())
	if b.n == 0 {
		b.first, b.lo, b.hi = s, c, c
	}
	b.cut = b.cut || h.anyOK && at-h.lastOK > joinWithin
	b.last = s
	b.sum += c
	b.lo, b.hi = min(b.lo, c), max(b.hi, c)
	b.n++
	h.lastOK, h.anyOK = at, true
}

// at returns the bucket of a time, making the buckets wider until it fits.
func (h *History) at(t time.Duration) *bucket {
	for int(t/h.width) >= len(h.buckets) {
		h.halve()
	}
	i := int(t / h.width)
	h.used = max(h.used, i+1)
	return &h.buckets[i]
}

// halve makes one bucket of each two.
func (h *History) halve() {
	for i := range len(h.buckets) / 2 {
		h.buckets[i] = join(h.buckets[2*i], h.buckets[2*i+1], float32(h.width.Seconds()))
	}
	clear(h.buckets[len(h.buckets)/2:])
	h.used = (h.used + 1) / 2
	h.width *= 2
}

func join(a, b bucket, width float32) bucket {
	j := bucket{
		sum: a.sum + b.sum, n: a.n + b.n, bad: a.bad + b.bad,
		doubt: a.doubt, doubted: a.doubted || b.doubted, cut: a.cut || b.cut,
	}
	if b.doubted {
		j.doubt = b.doubt
	}
	switch {
	case a.n == 0 && b.n == 0:
	case a.n == 0:
		j.first, j.last, j.lo, j.hi = b.first+width, b.last+width, b.lo, b.hi
	case b.n == 0:
		j.first, j.last, j.lo, j.hi = a.first, a.last, a.lo, a.hi
	default:
		j.first, j.last, j.lo, j.hi = a.first, b.last+width, min(a.lo, b.lo), max(a.hi, b.hi)
	}
	return j
}

// keep adds an event. When there is no more room the oldest prompt goes, and
// if there is none the oldest event of all.
func (h *History) keep(e Event) {
	if len(h.events) == eventCount {
		oldest := 0
		for i := range h.events {
			if h.events[i].Kind == EventPrompt {
				oldest = i
				break
			}
		}
		h.events = append(h.events[:oldest], h.events[oldest+1:]...)
	}
	h.events = append(h.events, e)
}

// undo takes back the standing mark that was told last.
func (h *History) undo(at time.Duration) {
	for i := len(h.events) - 1; i >= 0; i-- {
		if e := &h.events[i]; e.Kind == EventMark && e.gone == 0 {
			e.gone = at
			return
		}
	}
}

// End is the time of the last input.
func (h *History) End() time.Duration {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.end
}

// Events appends to dst the events that stood at the time until, in the order
// in which they were told.
func (h *History) Events(dst []Event, until time.Duration) []Event {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, e := range h.events {
		if e.told <= until && (e.gone == 0 || e.gone > until) {
			dst = append(dst, e)
		}
	}
	return dst
}
