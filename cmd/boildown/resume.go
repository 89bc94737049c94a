package main

import (
	"errors"
	"fmt"

	"github.com/spf13/pflag"

	"boildown/plateau"
	"boildown/sessions"
)

func registerDir(set *pflag.FlagSet, dir *string) {
	set.StringVar(dir, "dir", defaultDir(), "where batches are kept")
}

// resume goes on with a batch that was broken off: its file, its fold and its
// clock. What its header says holds, so that the file still replays as one
// batch; a target that was typed is told to the fold like one from the screen.
func (b *batch) resume(which string) error {
	found, err := sessions.Find(b.dir, which)
	if err != nil {
		return usagef("boildown sessions lists what is there; leave --continue out to begin a batch", "cannot go on: %w", err)
	}
	path := found.Path
	past, rec, err := sessions.Continue(path)
	if err != nil {
		return continueFailed(path, err)
	}
	b.header, b.past, b.rec = past.Header, past, rec
	b.state, b.at = plateau.Start(past.Header.Config), past.End()
	return nil
}

func continueFailed(path string, err error) error {
	hint := ""
	switch {
	case errors.Is(err, sessions.ErrLocked):
		hint = "end the other boildown first"
	case errors.Is(err, sessions.ErrStale):
		hint = "begin a new batch: boildown cook without --continue"
	case errors.Is(err, sessions.ErrNotSession):
		hint = "boildown sessions lists those that are"
	}
	return hinted(fmt.Errorf("cannot go on with %q: %w", path, cause(err)), hint)
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
