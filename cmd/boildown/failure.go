package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"boildown/sessions"
)

// Exit statuses. 2 is kept for what the person typed or pointed at.
const (
	statusOK     = 0
	statusFailed = 1
	statusUsage  = 2
)

// failure is an error with the remedy beside it. Only the command line prints
// one; the rooms below return plain wrapped errors.
type failure struct {
	err    error
	hint   string // what to do next, "" when the message says it
	status int    // 0 is read as statusFailed
	mute   bool   // nobody can be told: only the status is left to say it
	hasty  bool   // said to a terminal that may have stopped taking bytes
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

// usagef is a failure of what was typed: exit status 2.
func usagef(hint, format string, args ...any) error {
	return &failure{err: fmt.Errorf(format, args...), hint: hint, status: statusUsage}
}

// hinted puts a remedy beside err, nil for nil.
func hinted(err error, hint string) error {
	if err == nil {
		return nil
	}
	return &failure{err: err, hint: hint}
}

// mute keeps err's status and takes its words.
func mute(err error) error { return remade(err, func(f *failure) { f.mute = true }) }

// hasten has err said by a [hasty] writer.
func hasten(err error) error { return remade(err, func(f *failure) { f.hasty = true }) }

// remade is err as a failure of its own that change has been at, nil for nil.
func remade(err error, change func(f *failure)) error {
	if err == nil {
		return nil
	}
	is := failure{err: err}
	if f, ok := errors.AsType[*failure](err); ok {
		is = *f
	}
	change(&is)
	return &is
}

// report prints err the one way that errors are printed and returns the exit
// status. What came from a file or a cable is cleaned on the way: an error
// that quotes it must not be able to drive the terminal.
func report(w io.Writer, err error) int {
	if err == nil {
		return statusOK
	}
	var f *failure
	status := statusFailed
	hint := ""
	if errors.As(err, &f) {
		hint = f.hint
		if f.status != 0 {
			status = f.status
		}
		if f.mute {
			return status
		}
		if f.hasty {
			w = &hasty{w: w}
		}
	}
	fmt.Fprintf(w, "boildown: %s\n", oneLine(err.Error()))
	if hint != "" {
		fmt.Fprintf(w, "hint: %s\n", oneLine(hint))
	}
	return status
}

// oneLine makes s safe and short enough for one line of a terminal: control
// characters and line breaks become spaces, invalid UTF-8 the replacement
// mark, and it ends at 400 characters.
func oneLine(s string) string {
	var b strings.Builder
	n := 0
	for _, r := range strings.TrimSpace(s) {
		if n++; n > 400 {
			b.WriteString("…")
			break
		}
		if sessions.Unsafe(r) {
			r = ' '
		}
		b.WriteRune(r)
	}
	return b.String()
}

// jsonText writes JSON whose strings hold nothing that acts on a terminal:
// what does and need not be escaped in JSON is escaped. Each Write holds whole
// characters, as an encoder's do.
type jsonText struct{ w io.Writer }

func (t jsonText) Write(b []byte) (int, error) {
	var safe strings.Builder
	for _, r := range string(b) {
		if r >= 0x7f && sessions.Unsafe(r) {
			fmt.Fprintf(&safe, "\\u%04x", r)
			continue
		}
		safe.WriteRune(r)
	}
	if _, err := io.WriteString(t.w, safe.String()); err != nil {
		return 0, err
	}
	return len(b), nil
}
