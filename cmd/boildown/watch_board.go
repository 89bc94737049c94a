package main

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"boildown/probe"
	"boildown/probe/mqtt"
	"boildown/ui"
)

// potsMost bounds how many pots are kept, since anybody may publish.
const potsMost = 200

// potBoard holds what is known of every pot below a topic.
type potBoard struct {
	base string

	mu   sync.Mutex
	pots map[string]*heardPot // by topic
	note string
}

// heardPot is one pot and when its word came.
type heardPot struct {
	state potState
	has   bool      // state holds one
	heard time.Time // when it was true, by this machine's clock
	gone  bool      // the broker says that its program has vanished
}

func newPotBoard(base string) *potBoard {
	return &potBoard{base: base, pots: map[string]*heardPot{}, note: "not yet connected to the broker"}
}

// remark keeps what is wrong with the broker, "" for nothing.
func (b *potBoard) remark(note string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.note = note
}

// take reads one message. Topics that are no pot's are passed over.
func (b *potBoard) take(m mqtt.Seen, now time.Time) {
	at := strings.LastIndexByte(m.Topic, '/')
	if at < 0 {
		return
	}
	topic, what := m.Topic[:at], m.Topic[at+1:]
	if what != "state" && what != "status" {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	p := b.pots[topic]
	if p == nil {
		if len(b.pots) == potsMost || len(m.Payload) == 0 {
			return
		}
		p = &heardPot{}
		b.pots[topic] = p
	}
	switch {
	case len(m.Payload) == 0: // that is how a retained message is taken off
		delete(b.pots, topic)
	case what == "status":
		p.gone = string(m.Payload) == mqtt.Offline
	default:
		s, ok := readState(m.Payload)
		if !ok {
			return
		}
		p.state, p.has, p.heard = s, true, now
		if m.Retained && s.Sent.Before(now) { // the clocks of two machines may differ a little
			p.heard = s.Sent
		}
	}
}

// Pots returns every pot as it stands, in the order of their topics, and what
// is wrong with the broker.
func (b *potBoard) Pots(now time.Time) (pots []ui.Pot, note string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for topic, p := range b.pots {
		if !p.has {
			continue
		}
		is := p.state.pot()
		is.Topic = strings.TrimPrefix(strings.TrimPrefix(topic, b.base), "/")
		if is.Name == "" {
			is.Name = topic
		}
		is.Heard = max(now.Sub(p.heard), 0)
		is.Gone = p.gone && !is.Over
		pots = append(pots, is)
	}
	slices.SortFunc(pots, func(x, y ui.Pot) int {
		return strings.Compare(x.Topic+"\x00"+x.Name, y.Topic+"\x00"+y.Name)
	})
	return pots, b.note
}

// potLines prints a board line by line.
type potLines struct {
	unit probe.Unit
	said map[string]string
	due  map[string]time.Time
	note string
}

// next returns the lines that are due.
func (l *potLines) next(b *potBoard, now time.Time) (lines []string) {
	pots, note := b.Pots(now)
	if note != l.note {
		l.note = note
		if note == "" {
			note = "connected"
		}
		lines = append(lines, now.Format(time.TimeOnly)+"  broker: "+note)
	}
	for _, p := range pots {
		what := p.Summary(l.unit)
		news := p.News()
		if was, seen := l.said[p.Topic]; seen && was == news && now.Before(l.due[p.Topic]) {
			continue
		}
		l.said[p.Topic], l.due[p.Topic] = news, now.Add(plainEvery)
		lines = append(lines, fmt.Sprintf("%s  %s: %s", now.Format(time.TimeOnly), p.Title(), what))
	}
	return lines
}
