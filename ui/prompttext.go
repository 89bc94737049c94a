package ui

import (
	"boildown/plateau"
	"boildown/probe"
)

// sentences says a prompt in a sentence.
type sentences func(plateau.Prompt, plateau.Advice, probe.Unit) string

// promptText is the fold's own sentence.
func promptText(p plateau.Prompt, a plateau.Advice, u probe.Unit) string { return p.Text(a, u) }
