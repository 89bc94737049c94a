package main

import (
	"boildown/plateau"
	"boildown/probe"
)

type recipe struct {
	Name, Text string
	Batch      plateau.Batch
	Target     probe.Celsius
	AtSeaLevel bool
}

func loadRecipe(path string) (*recipe, error) {
	return nil, usagef("", "cannot read recipe %q: recipes are not built in yet", path)
}

func promptText(p plateau.Prompt, a plateau.Advice, u probe.Unit) string { return p.String() }

const foldVersion = "1"
