package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
)

// sharedTTY is a terminal that the screen and the bell both write to. Each
// write goes out whole, so a bell falls between two frames. It stays an
// *os.File to the terminal library, which asks it for the window's size.
type sharedTTY struct {
	*os.File
	mu sync.Mutex
}

func (t *sharedTTY) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.File.Write(b)
}

// bell rings the terminal and, where it has one, its desktop notification. A
// terminal that takes no bytes must not hold up the other alarms, so writing
// has a goroutine of its own and what it cannot keep up with is dropped.
type bell struct {
	out    io.Writer
	notify notifyKind
	queue  chan string
}

func newBell(out io.Writer, notify notifyKind) *bell {
	return &bell{out: out, notify: notify, queue: make(chan string, 4)}
}

func (b *bell) sound(n notice) {
	s := "\a"
	if !n.again { // one notification is enough, the bell goes on
		s += b.notify.sequence(n.text)
	}
	select {
	case b.queue <- s:
	default:
	}
}

// run writes what was queued until done is closed.
func (b *bell) run(done <-chan struct{}) {
	for {
		select {
		case <-done:
			return
		case s := <-b.queue:
			_, _ = io.WriteString(b.out, s)
		}
	}
}

// notifyKind is the escape convention of a terminal for desktop
// notifications. None is a standard; all are openly documented.
type notifyKind uint8

const (
	notifyOff notifyKind = iota
	notify9              // ESC ] 9 ; text
	notify777            // ESC ] 777 ; notify ; title ; body
	notify99             // ESC ] 99 ; ; text
)

// notifyFor reads the --notify flag; "auto" looks at the environment. Inside
// a terminal multiplexer the sequences do not get through, so auto is off.
func notifyFor(word string, getenv func(string) string) (notifyKind, error) {
	switch word {
	case "off":
		return notifyOff, nil
	case "9":
		return notify9, nil
	case "777":
		return notify777, nil
	case "99":
		return notify99, nil
	case "auto":
		return notifyAuto(getenv), nil
	}
	return notifyOff, usagef("take auto, off, 9, 777 or 99", "there is no notification convention %q", word)
}

func notifyAuto(getenv func(string) string) notifyKind {
	term := getenv("TERM")
	switch {
	case getenv("TMUX") != "", strings.HasPrefix(term, "tmux"), strings.HasPrefix(term, "screen"):
		return notifyOff
	case getenv("KITTY_WINDOW_ID") != "", term == "xterm-kitty":
		return notify99
	case strings.HasPrefix(term, "foot"), strings.HasPrefix(term, "rxvt-unicode"):
		return notify777
	}
	switch getenv("TERM_PROGRAM") {
	case "iTerm.app", "WezTerm", "ghostty":
		return notify9
	}
	return notifyOff
}

// sequence returns the escape sequence that shows text, "" for none. The text
// holds no control characters afterwards, and for the first convention it
// begins with a word, since digits and a semicolon mean something else there.
func (k notifyKind) sequence(text string) string {
	text = oneLine(text)
	switch k {
	case notify9:
		return "\x1b]9;boildown: " + text + "\x1b\\"
	case notify777:
		return fmt.Sprintf("\x1b]777;notify;boildown;%s\x1b\\", strings.ReplaceAll(text, ";", ","))
	case notify99:
		return "\x1b]99;;boildown: " + text + "\x1b\\"
	}
	return ""
}
