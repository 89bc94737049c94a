package ui

import (
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/probe"
)

// BenchmarkView is one redraw of the live screen, with an hour at 10 Hz behind
// it, in colour.
func BenchmarkView(b *testing.B) {
	m, feed, _ := fakeLive(20, Colour256)
	for at := minutes(20); at < time.Hour; at += 100 * time.Millisecond {
		addReading(m.hist, at, 104, probe.FaultNone)
	}
	feed.s.At = time.Hour
	m.Update(tea.WindowSizeMsg{Width: 120, Height: 40})
	m.take(pulled{time.UnixMilli(0), feed.s})
	b.ReportAllocs()
	for b.Loop() {
		_ = m.View()
	}
}

// BenchmarkHistoryAdd is what the screen costs the pump at each reading.
func BenchmarkHistoryAdd(b *testing.B) {
	h := NewHistory()
	at := time.Duration(0)
	b.ReportAllocs()
	for b.Loop() {
		at = (at + 100*time.Millisecond) % (12 * time.Hour)
		addReading(h, at, 104, probe.FaultNone)
	}
}
