package main

import (
	"bytes"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/pflag"
	"golang.org/x/term"

	"boildown/ui"
)

// screenFlags say how to draw.
type screenFlags struct {
	plain bool
	theme string
	ascii bool
	rate  int
}

func (f *screenFlags) register(set *pflag.FlagSet) {
	set.BoolVar(&f.plain, "plain", false, "plain lines even on a terminal")
	set.StringVar(&f.theme, "theme", "dark", "dark, light, or plain for no colour")
	set.BoolVar(&f.ascii, "ascii", !utf8Locale(os.Getenv), "draw with ASCII alone")
	set.IntVar(&f.rate, "rate", 5, "redraws a second, 1 to 10; fewer for a slow link")
}

func (f *screenFlags) config() ui.Config {
	cfg := ui.Config{ASCII: f.ascii, Rate: f.rate}
	switch f.theme {
	case "light":
		cfg.Theme = ui.Light
	case "plain":
		cfg.Theme, cfg.Depth = ui.Plain, ui.NoColour
	}
	if os.Getenv("NO_COLOR") != "" {
		cfg.Depth = ui.NoColour
	}
	return cfg
}

// utf8Locale reports whether the environment wants UTF-8. A locale that is
// not set at all is taken for one that can: a bare container says nothing,
// and the terminal outside of it draws well.
func utf8Locale(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if s := strings.ToUpper(getenv(name)); s != "" {
			return strings.Contains(s, "UTF-8") || strings.Contains(s, "UTF8")
		}
	}
	return true
}

// terminal is a screen and a keyboard, with the modes they had.
type terminal struct {
	in, out *sharedTTY
	keys    *os.File // opened by us, nil when standard input is the keyboard
	modes   *term.State
}

// isTerminal reports whether w is a terminal.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// openTerminal returns the terminal behind in and out, or nil when there is
// none to draw on: plain lines are wanted then.
func openTerminal(in io.Reader, out io.Writer, flags *screenFlags) *terminal {
	screen, ok := out.(*os.File)
	if flags.plain || !ok || !term.IsTerminal(int(screen.Fd())) || os.Getenv("TERM") == "dumb" {
		return nil
	}
	t := &terminal{out: &sharedTTY{File: screen}}
	keys, ok := in.(*os.File)
	if !ok || !term.IsTerminal(int(keys.Fd())) {
		var err error
		if keys, err = os.Open("/dev/tty"); err != nil {
			return nil
		}
		t.keys = keys
	}
	t.in = &sharedTTY{File: keys}
	t.modes, _ = term.GetState(int(keys.Fd()))
	return t
}

// restore puts the modes back that the keyboard had, whatever happened since.
func (t *terminal) restore() {
	if t.modes != nil {
		_ = term.Restore(int(t.in.Fd()), t.modes)
	}
	if t.keys != nil {
		_ = t.keys.Close()
	}
}

// hasty writes to a terminal that may have stopped taking bytes. It waits no
// longer than terminalPatience for one write, and for none after that.
type hasty struct {
	w    io.Writer
	late bool
}

func (h *hasty) Write(b []byte) (n int, err error) {
	if h.late {
		return 0, os.ErrDeadlineExceeded
	}
	type end struct {
		n   int
		err error
	}
	ended := make(chan end, 1)
	own := bytes.Clone(b) // a late write outlives the call
	go func() {
		n, err := h.w.Write(own)
		ended <- end{n, err}
	}()
	select {
	case is := <-ended:
		return is.n, is.err
	case <-time.After(terminalPatience):
		h.late = true
		return 0, os.ErrDeadlineExceeded
	}
}
