package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"boildown/plateau"
	"boildown/sessions"
)

func registerDir(set *pflag.FlagSet, dir *string) {
	set.StringVar(dir, "dir", defaultDir(), "where batches are kept")
}

// resume goes on with a batch that was broken off: its file, its fold and its
// clock. What its header says holds; flags that would change it are refused
// by their absence from here, so that the file still replays as one batch.
func (b *batch) resume(which string) error {
	path, err := b.find(which)
	if err != nil {
		return err
	}
	past, rec, err := sessions.Continue(path)
	if err != nil {
		return continueFailed(path, err)
	}
	b.header, b.past, b.rec = past.Header, past, rec
	b.state, b.at = plateau.Start(past.Header.Config), past.End()
	return nil
}

// find returns the file of the batch that is meant.
func (b *batch) find(which string) (string, error) {
	if which != "last" {
		return batchPath(b.dir, which), nil
	}
	names, err := filepath.Glob(filepath.Join(b.dir, "*.jsonl"))
	if err != nil || len(names) == 0 {
		return "", usagef("leave --continue out to begin a batch", "there is no batch in %q to go on with", b.dir)
	}
	return slices.Max(names), nil // named for when they began
}

func continueFailed(path string, err error) error {
	hint := ""
	switch {
	case errors.Is(err, sessions.ErrLocked):
		hint = "end the other boildown first"
	case errors.Is(err, sessions.ErrNotSession):
		hint = "boildown sessions lists those that are"
	}
	return hinted(fmt.Errorf("cannot go on with %q: %w", path, cause(err)), hint)
}

// batchPath is where a batch named on the command line is: a path when it
// looks like one or exists as one, else a name on the shelf.
func batchPath(dir, name string) string {
	if filepath.Base(name) != name || fileExists(name) {
		return name
	}
	if p := filepath.Join(dir, name); fileExists(p) {
		return p
	}
	if p := filepath.Join(dir, name+".jsonl"); fileExists(p) {
		return p
	}
	return name
}

// catchUp folds what the batch's earlier part was told, without recording it
// again and without sounding it.
func (p *pump) catchUp(past *sessions.Session) {
	for in := range past.Inputs() {
		var a plateau.Advice
		p.state, a = plateau.Step(p.state, in)
		p.hist.Add(in, a)
		p.sum.Add(in, a)
		p.snap.Advice = a
	}
}
