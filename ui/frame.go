package ui

import tea "github.com/charmbracelet/bubbletea"

// Frame draws a screen made by this package once, without a terminal, at the
// given size: a picture for a page or a test. Lines hold ANSI escapes unless
// the screen was made with [NoStyle].
func Frame(m tea.Model, width, height int) string {
	m, _ = m.Update(tea.WindowSizeMsg{Width: width, Height: height})
	if p, ok := m.(interface{ pull() tea.Msg }); ok {
		m, _ = m.Update(p.pull())
	}
	return m.View()
}
