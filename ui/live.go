package ui

import tea "github.com/charmbracelet/bubbletea"

// NewLive returns the screen of a running batch. It pulls snapshots from feed,
// draws its chart from hist, which the pump fills, and tells tell what the
// cook says.
func NewLive(cfg Config, hist *History, feed Feed, tell Teller) tea.Model { return nil }

// NewReplay returns the screen of a recorded batch.
func NewReplay(cfg Config, tape Tape) tea.Model { return nil }

// Frame draws a screen made by this package once, without a terminal, at the
// given size: a picture for a page or a test. The lines hold ANSI escapes
// unless the screen was made with [NoStyle].
func Frame(m tea.Model, width, height int) string { return "" }
