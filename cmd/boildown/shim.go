package main

import (
	"boildown/plateau"
	"boildown/probe"
)

func promptText(p plateau.Prompt, a plateau.Advice, u probe.Unit) string { return p.String() }

const foldVersion = "1"
