//go:build unix

package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
	"github.com/spf13/cobra"
	"golang.org/x/sys/unix"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/probetest"
	"boildown/sessions"
	"boildown/ui"
)

// faulty is a screen with a fault in one of its parts.
type faulty struct{ where string }

func (f faulty) Init() tea.Cmd {
	if f.where == "command" {
		return tea.Batch(func() tea.Msg { panic("broken command") }, nil)
	}
	return func() tea.Msg { return f.where }
}

func (f faulty) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if f.where == "update" && msg == tea.Msg("update") {
		panic("broken update")
	}
	if msg == tea.Msg("view") {
		return faulty{"now"}, nil
	}
	return f, nil
}

func (f faulty) View() string {
	if f.where == "now" {
		panic("broken view")
	}
	return "screen"
}

// A fault anywhere behind the screen comes back as one error, with the
// terminal put right and nothing printed over it.
func TestScreenFaults(t *testing.T) {
	for _, where := range []string{"update", "view", "command"} {
		t.Run(where, func(t *testing.T) {
			master, tty, err := pty.Open()
			if err != nil {
				t.Fatal(err)
			}
			em := vt.NewSafeEmulator(80, 24)
			shown := make(chan struct{})
			go func() {
				defer close(shown)
				buf, all := make([]byte, 4096), ""
				for !strings.HasSuffix(all, "that is all") {
					n, err := master.Read(buf)
					all += string(buf[:n])
					em.Write(buf[:n])
					if err != nil {
						return
					}
				}
			}()
			before, err := unix.IoctlGetTermios(int(tty.Fd()), getTermios)
			if err != nil {
				t.Fatal(err)
			}
			err = ui.NewProgram(faulty{where}, tty, tty).Run()
			var f *ui.Fault
			if !errors.As(err, &f) || f.Error() != "broken "+where || !strings.Contains(f.Stack, "faulty") {
				t.Errorf("Run returned %v", err)
			}
			after, err := unix.IoctlGetTermios(int(tty.Fd()), getTermios)
			if err != nil || *after != *before {
				t.Errorf("terminal modes are %+v, were %+v; %v", after, before, err)
			}
			// Neither end is closed here: the library may still be asking tty for its
			// size, and closing master does not end a Read of it.
			if _, err := tty.WriteString("that is all"); err != nil {
				t.Fatal(err)
			}
			<-shown
			if em.IsAltScreen() || em.CursorHidden() {
				t.Errorf("alternate screen left on: %v, cursor hidden: %v", em.IsAltScreen(), em.CursorHidden())
			}
		})
	}
}

// broken is a source with a fault in it.
type broken struct{}

func (broken) Run(_ context.Context, now func() time.Duration, emit func(probe.Event)) error {
	emit(probe.Event{HasReading: true, Reading: probe.Reading{At: now(), C: 104.5}})
	panic("broken source")
}

// A fault in a goroutine ends the cook in order: the record holds all that
// came, and one line says what happened and how to go on.
func TestCookFaults(t *testing.T) {
	probetest.LeavesNothing(t)
	dir := t.TempDir()
	header := sessions.Header{Start: time.Now(), Config: freshConfig(), Fold: plateau.Version}
	rec, err := sessions.Create(dir, header)
	if err != nil {
		t.Fatal(err)
	}
	b := &batch{header: header.Stored(), state: plateau.Start(header.Config), rec: rec, dir: dir, source: broken{}}
	flags := &cookFlags{}
	flags.source.speed = 1
	var out, errOut bytes.Buffer
	status := report(&errOut, newKitchen(t.Context(), b, flags, nil, &out).cook(&out))
	if status != statusFailed {
		t.Errorf("status %d", status)
	}
	msg := errOut.String()
	if !strings.HasPrefix(msg, "boildown: a fault in the program ended the cook: probe: broken source\nhint: the batch is kept") || strings.Count(msg, "\n") != 2 {
		t.Errorf("it says %q", msg)
	}
	kept := only(t, dir)
	if lastC(kept) != 104.5 || kept.Closed || len(kept.Damage) > 0 {
		t.Errorf("last reading %v, closed %v, damage %v", lastC(kept), kept.Closed, kept.Damage)
	}
	notes, _ := filepath.Glob(filepath.Join(dir, "crash-*.txt"))
	if len(notes) != 1 {
		t.Fatalf("%d crash notes", len(notes))
	}
	if text, err := os.ReadFile(notes[0]); err != nil || !strings.Contains(string(text), "broken") {
		t.Errorf("the crash note says %q, error %v", text, err)
	}
}

// A fault of a goroutine that was ending already is no less one.
func TestCrewKeepsALateFault(t *testing.T) {
	probetest.LeavesNothing(t)
	crew := newCrew(t.Context())
	crew.start("tail", func(ctx context.Context) {
		<-ctx.Done()
		panic("broken tail")
	})
	crew.cancel(errEnded)
	crew.wg.Wait()
	if c := crew.fault(); c == nil || c.Error() != "tail: broken tail" || !strings.Contains(c.stack, "TestCrewKeepsALateFault") {
		t.Errorf("the fault is %+v", c)
	}
}

// A fault of any command is one line, a remedy and a note, never a trace.
func TestCommandFaults(t *testing.T) {
	breaks := &cobra.Command{Use: "break", RunE: func(*cobra.Command, []string) error {
		return probe.Send(func() error { panic("broken command") }).Wait()
	}}
	for _, c := range []struct {
		args []string
		in   io.Reader
		says string
	}{
		{[]string{"break"}, nil, "the command: broken command"},
		{[]string{"alerts", "test", "--dir", t.TempDir()}, brokenReader{}, "the test of the alarm: keys: broken reader"},
		{[]string{"calibrate", "--probe", "sim"}, brokenReader{}, "the command: broken reader"},
		{[]string{"cook", "--plain", "--probe", "-", "--dir", t.TempDir()}, brokenReader{}, "the cook: probe: broken reader"},
	} {
		root := rootCommand()
		root.AddCommand(breaks)
		var errOut bytes.Buffer
		status := execute(t.Context(), root, append(c.args, "--config", "none"), c.in, io.Discard, &errOut)
		said := errOut.String()
		if status != statusFailed || !strings.HasPrefix(said, "boildown: a fault in the program ended "+c.says+"\nhint: ") || strings.Count(said, "\n") != 2 {
			t.Errorf("%q: status %d, it says %q", c.args, status, said)
		}
		_, note, ok := strings.Cut(strings.TrimSpace(said), "report ")
		if text, err := os.ReadFile(note); !ok || err != nil || !strings.Contains(string(text), "goroutine") {
			t.Errorf("%q: the note %q holds %q, error %v", c.args, note, text, err)
		}
	}
}
