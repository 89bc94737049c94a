// Package early settles the background colour before the terminal library
// asks for it. That library's own start-up query waits five seconds on a
// terminal that never answers, in every command. Go initialises packages that
// are ready in the order of their import paths, so this works because
// "boildown/ui/early" sorts before "github.com/charmbracelet/bubbletea".
//
// Import it for its effect alone, from package main.
package early

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
