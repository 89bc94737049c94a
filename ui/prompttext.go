package ui

import (
	"boildown/plateau"
	"boildown/probe"
)

// sentences says a prompt in a sentence.
type sentences func(plateau.Prompt, plateau.Advice, probe.Unit) string

// promptText is a prompt in a sentence.
func promptText(p plateau.Prompt, a plateau.Advice, u probe.Unit) string {
	if t, ok := any(p).(interface {
		Text(plateau.Advice, probe.Unit) string
	}); ok {
		return t.Text(a, u)
	}
	return p.String()
}
