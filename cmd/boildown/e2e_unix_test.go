//go:build unix

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// built builds the program once, as it is shipped.
var built = sync.OnceValues(func() (string, error) {
	path := filepath.Join(buildDir, "boildown")
	out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return path, nil
})

// shipped is the program as users have it, for what must be measured.
func shipped(t testing.TB) string {
	t.Helper()
	path, err := built()
	if err != nil {
		t.Fatal("building the program: ", err)
	}
	return path
}

// patience bounds every wait for the program, generously: a slow machine is
// no fault of it.
const patience = 60 * time.Second

// screen is a terminal with a program on it: a pseudo-terminal that feeds a
// terminal emulator.
type screen struct {
	t        testing.TB
	cmd      *subject
	tty, pty *os.File
	mute     bool // answers no queries
	before   unix.Termios
	em       *vt.SafeEmulator
	bells    int // under mu

	mu     sync.Mutex
	change *sync.Cond
	raw    strings.Builder
	done   bool
	exit   error
}

// onScreen starts the program on a terminal of its own.
func onScreen(t testing.TB, width, height int, mute bool, args ...string) *screen {
	t.Helper()
	return commandOnScreen(t, width, height, mute, exec.Command(program(t), args...))
}

func commandOnScreen(t testing.TB, width, height int, mute bool, cmd *exec.Cmd) *screen {
	t.Helper()
	master, tty, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	cmd.SysProcAttr = &syscall.SysProcAttr{Setctty: true}
	cmd.Env = append(os.Environ(), "TERM=xterm-256color", "LANG=C.UTF-8", "LC_ALL=", "TMUX=", "NO_COLOR=", "CI=")
	s := &screen{t: t, cmd: watched(t, cmd), tty: tty, pty: master, mute: mute, em: vt.NewSafeEmulator(width, height)}
	s.change = sync.NewCond(&s.mu)
	if err := pty.Setsize(master, &pty.Winsize{Cols: uint16(width), Rows: uint16(height)}); err != nil {
		t.Fatal(err)
	}
	s.before = s.modes()
	s.cmd.Stdin, s.cmd.Stdout, s.cmd.Stderr = tty, tty, tty
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	go s.show()
	go s.answer()
	go func() {
		err := s.cmd.Wait()
		s.update(func() { s.done, s.exit = true, err })
	}()
	t.Cleanup(func() {
		s.cmd.Process.Kill()
		s.wait("the program's end", func() bool { return s.done })
		s.cmd.leavesNothing(t)
		s.em.InputPipe().(io.Closer).Close()
		master.Close()
		tty.Close()
	})
	return s
}

// show feeds the emulator with what the program writes.
func (s *screen) show() {
	buf := make([]byte, 32<<10)
	for {
		n, err := s.pty.Read(buf)
		if n > 0 {
			s.update(func() { // the emulator hands out its live cells: one lock for all
				s.em.Write(buf[:n])
				s.raw.Write(buf[:n])
				s.bells += strings.Count(string(buf[:n]), "\a")
			})
		}
		if err != nil {
			return
		}
	}
}

// answer passes the emulator's answers to queries back, or swallows them.
func (s *screen) answer() {
	buf := make([]byte, 4096)
	for {
		n, err := s.em.Read(buf)
		if n > 0 && !s.mute {
			s.pty.Write(buf[:n])
		}
		if err != nil {
			return
		}
	}
}

func (s *screen) update(f func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	f()
	s.change.Broadcast()
}

// waitFor waits until ok holds, looking again whenever anything is written.
// A program that ends before that fails the test.
func (s *screen) waitFor(what string, ok func() bool) {
	s.t.Helper()
	s.wait(what, func() bool {
		if s.done && !ok() {
			s.t.Fatalf("the program ended (%v) before %s; the screen says\n%s", s.exit, what, s.text())
		}
		return ok()
	})
}

// wait is waitFor for what may come after the program's end.
func (s *screen) wait(what string, ok func() bool) {
	s.t.Helper()
	late := false
	timer := time.AfterFunc(patience, func() { s.update(func() { late = true }) })
	defer timer.Stop()
	s.mu.Lock()
	defer s.mu.Unlock()
	for !ok() {
		if late {
			s.t.Fatalf("waited %v for %s; the screen says\n%s", patience, what, s.text())
		}
		s.change.Wait()
	}
}

// sees waits until the screen shows all of the words.
func (s *screen) sees(words ...string) {
	s.t.Helper()
	for _, w := range words {
		s.waitFor(fmt.Sprintf("%q", w), func() bool { return strings.Contains(s.text(), w) })
	}
}

// text is what the screen shows, without styles.
func (s *screen) text() string {
	var b strings.Builder
	for y := range s.em.Height() {
		row := ""
		for x := range s.em.Width() {
			if c := s.em.CellAt(x, y); c != nil && c.Content != "" {
				row += c.Content
			} else if c == nil || c.Width != 0 {
				row += " "
			}
		}
		b.WriteString(strings.TrimRight(row, " ") + "\n")
	}
	return b.String()
}

// wrote is all that the program has written.
func (s *screen) wrote() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.raw.String()
}

// resize gives the window another size and waits for nothing.
func (s *screen) resize(width, height int) {
	s.t.Helper()
	s.update(func() { s.em.Resize(width, height) })
	if err := pty.Setsize(s.pty, &pty.Winsize{Cols: uint16(width), Rows: uint16(height)}); err != nil {
		s.t.Fatal(err)
	}
}

func (s *screen) press(keys string) {
	s.t.Helper()
	if _, err := s.pty.WriteString(keys); err != nil {
		s.t.Fatal(err)
	}
}

// ends waits for the program's end and returns its exit status.
func (s *screen) ends() int {
	s.t.Helper()
	s.wait("the program's end", func() bool { return s.done })
	var exit *exec.ExitError
	switch {
	case s.exit == nil:
		return 0
	case errors.As(s.exit, &exit):
		return exit.ExitCode()
	}
	s.t.Fatal(s.exit)
	return -1
}

func (s *screen) modes() unix.Termios {
	t, err := unix.IoctlGetTermios(int(s.tty.Fd()), getTermios)
	if err != nil {
		s.t.Fatal(err)
	}
	return *t
}

// restored checks that the terminal is as it was before the program.
func (s *screen) restored() {
	s.t.Helper()
	s.wait("the terminal to be put right", func() bool { return !s.em.IsAltScreen() && !s.em.CursorHidden() })
	if after := s.modes(); after != s.before {
		s.t.Errorf("terminal modes are %+v, were %+v", after, s.before)
	}
}

// thermometer is a serial probe played on a pseudo-terminal.
type thermometer struct {
	path string
	sent atomic.Int64 // lines so far
	stop context.CancelFunc
	done chan struct{}
}

// plugIn starts a thermometer that prints a line each quarter of a second, the
// n-th of them what line returns.
func plugIn(t testing.TB, line func(n int) string) *thermometer {
	t.Helper()
	return plugInEvery(t, 250*time.Millisecond, line)
}

func plugInEvery(t testing.TB, every time.Duration, line func(n int) string) *thermometer {
	t.Helper()
	master, tty, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	cable := unblocked(t, master) // nobody may be reading at the other end
	ctx, stop := context.WithCancel(context.Background())
	p := &thermometer{path: tty.Name(), stop: stop, done: make(chan struct{})}
	go func() {
		defer close(p.done)
		defer cable.Close()
		defer master.Close()
		defer tty.Close()
		tick := time.NewTicker(every)
		defer tick.Stop()
		for n := 0; ; n++ {
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
				if _, err := io.WriteString(cable, line(n)+"\r\n"); err != nil {
					return
				}
				p.sent.Add(1)
			}
		}
	}()
	t.Cleanup(func() { stop(); cable.Close(); <-p.done })
	return p
}

// unblocked is f under a descriptor of its own, whose Close ends a write.
func unblocked(t testing.TB, f *os.File) *os.File {
	t.Helper()
	fd, err := unix.Dup(int(f.Fd()))
	if err == nil {
		err = unix.SetNonblock(fd, true)
	}
	if err != nil {
		t.Fatal(err)
	}
	unix.CloseOnExec(fd)
	return os.NewFile(uintptr(fd), f.Name())
}
