package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"boildown/probe"
	"boildown/ui"
)

// crash is a panic of one of our goroutines.
type crash struct {
	where string // "" when it is not known
	value any
	stack string
}

// crashOf is what was recovered somewhere. Call it from the function that
// recovers, on whose stack the panic still stands.
func crashOf(where string, recovered any) *crash {
	p := probe.PanicOf(recovered)
	return &crash{where: where, value: p.Value, stack: p.Stack}
}

func (c *crash) Error() string {
	if c.where == "" {
		return fmt.Sprint(c.value)
	}
	return fmt.Sprintf("%s: %v", c.where, c.value)
}

// screenCrash returns the panic behind a screen's end, nil where there was none.
func screenCrash(err error) *crash {
	var f *ui.Fault
	if !errors.As(err, &f) {
		return nil
	}
	return &crash{where: "screen", value: f.Value, stack: f.Stack}
}

// ended words what a panic ended, for the error line, and leaves a note of it
// in dir. hint says what has become of the batch; report joins the note to it,
// where one could be left.
func (c *crash) ended(what, dir, hint, report string) error {
	if note := crashNote(dir, c); note != "" {
		hint += report + note
	}
	return hinted(fmt.Errorf("a fault in the program ended the %s: %w", what, c), hint)
}

// crashNote keeps what is needed to mend a fault of the program and returns
// where, or "" when even that failed.
func crashNote(dir string, c *crash) string {
	path := filepath.Join(dir, "crash-"+time.Now().UTC().Format("2006-01-02T15-04-05Z")+".txt")
	text := fmt.Sprintf("boildown %s\n%s\n\n%s\n", buildVersion(), c.Error(), c.stack)
	if os.MkdirAll(dir, 0o700) != nil || os.WriteFile(path, []byte(text), 0o600) != nil {
		return ""
	}
	return path
}
