package main

import (
	"io"

	"boildown/plateau"
	"boildown/probe"
)

type recipe struct {
	Batch      plateau.Batch
	Target     probe.Celsius
	AtSeaLevel bool
}

func loadRecipe(path string) (*recipe, error) {
	return nil, usagef("", "cannot read recipe %q: recipes are not built in yet", path)
}

func traceSession(rows *rowWriter, in io.Reader, path string, flags *batchFlags) error {
	return usagef("", "cannot read %q: sessions are not built in yet", path)
}

func promptText(p plateau.Prompt, a plateau.Advice, u probe.Unit) string { return p.String() }
