package main

import (
	"bytes"
	"errors"
	"io"
	"strings"
)

// A keeper is a second process beside a cook on a terminal. It does nothing
// until the cook is dead, and then only if the cook could not end in order:
// killed, out of memory, or brought down by a fault in a goroutine that is not
// ours to recover. It puts the terminal right, leaves a crash note and says
// what happened and how to go on.
const keeperWord = "keep-the-terminal"

// inOrder is what a cook tells its keeper before it ends by itself.
const inOrder = "\x00the cook has ended in order\x00"

// leaveScreen takes back what a screen switches on: the alternate screen, the
// hidden cursor, bracketed paste, the mouse, colours.
const leaveScreen = "\x1b[?1049l\x1b[?25h\x1b[?2004l\x1b[?1000l\x1b[?1002l\x1b[?1003l\x1b[?1006l\x1b[0m\r"

// maxTrace bounds what is kept of a dying cook's words, in bytes.
const maxTrace = 1 << 20

// dyingWords reads what a cook says until its death and reports whether it
// ended in order. What a cook that did not says is the runtime's trace, empty
// when it was killed.
func dyingWords(in io.Reader) (trace string, ok bool) {
	text, _ := io.ReadAll(io.LimitReader(in, maxTrace))
	_, _ = io.Copy(io.Discard, in)
	if bytes.Contains(text, []byte(inOrder)) {
		return "", true
	}
	return string(text), false
}

// obituary words a cook's end for its error line and leaves the crash note.
func obituary(dir, batch, trace string) error {
	hint := "the batch is kept; go on with it by boildown cook --continue=" + batch
	if strings.TrimSpace(trace) == "" {
		return hinted(errors.New("the cook was killed before it could end"), hint)
	}
	what, _, _ := strings.Cut(strings.TrimSpace(trace), "\n")
	what = strings.TrimPrefix(what, "panic: ")
	return (&crash{value: what, stack: trace}).ended("cook", dir, hint, " and report ")
}
