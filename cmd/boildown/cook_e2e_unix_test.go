//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/sessions"
)

// hurriedMelt is a probe in sugar that melts far too fast: 140 °C for three
// seconds, then three degrees a second up to 195 °C.
func hurriedMelt(n int) string {
	return fmt.Sprintf("T=%.2f C", min(140+0.75*max(float64(n-12), 0), 195)+0.01*float64(n%3))
}

// only returns the one session in dir.
func only(t *testing.T, dir string) *sessions.Session {
	t.Helper()
	list, err := sessions.List(dir)
	if err != nil || len(list) != 1 {
		t.Fatalf("%d sessions in the folder, error %v; want one", len(list), err)
	}
	s, err := sessions.Read(list[0].Path)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// has reports whether the session holds the mark.
func has(s *sessions.Session, m plateau.Mark) bool {
	for in := range s.Inputs() {
		if in.Kind == plateau.Marked && in.Mark == m {
			return true
		}
	}
	return false
}

// lastC is the last reading on record, °C.
func lastC(s *sessions.Session) (c float64) {
	for in := range s.Inputs() {
		if in.Kind == plateau.Measured && in.Fault == 0 {
			c = float64(in.C)
		}
	}
	return c
}

// spoken are the prompts on record, as trace prints them.
func spoken(s *sessions.Session) (prompts []string) {
	for rec := range s.Prompts() {
		prompts = append(prompts, rec.Prompt.String()+": "+rec.Text)
	}
	return prompts
}

// A real terminal, a real serial line: readings appear, prompts appear, a key
// is a mark, all of it is in the file, the alarm is heard, and the terminal is
// as it was.
func TestCookOnATerminal(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	probe := plugIn(t, hurriedMelt)
	s := onScreen(t, 120, 40, false, "cook", "--probe", probe.path, "--dir", dir, "--name", "Stall trial")
	s.sees("Stall trial", "◀ now") // readings come: the keys are taken
	s.press("m")
	s.sees("[melt]")
	s.sees("too dark in", "Off the heat")
	s.waitFor("the bell", func() bool { return s.bells > 0 })
	s.press("n")
	s.sees("Note")
	s.press("smells of burnt sugar\r")
	s.sees("SPACE")
	s.press("q")
	s.sees("To end this batch type the word")
	s.press("end\r")
	if status := s.ends(); status != 0 {
		t.Errorf("exit status %d, want 0", status)
	}
	s.restored()
	s.wait("the last words", func() bool { return strings.Contains(s.text(), "Replay it: boildown replay") })

	kept := only(t, dir)
	if !has(kept, plateau.MarkMeltStart) || !has(kept, plateau.MarkNote) || !kept.Closed {
		t.Errorf("on record: melt-start %v, note %v, closed %v; want all three", has(kept, plateau.MarkMeltStart), has(kept, plateau.MarkNote), kept.Closed)
	}
	prompts := spoken(kept)
	if !slices.ContainsFunc(prompts, func(p string) bool { return strings.HasPrefix(p, "burn: ") }) {
		t.Errorf("no burn warning on record: %q", prompts)
	}
	if got := traced(t, kept.Path); !slices.Equal(got, prompts) {
		t.Errorf("trace of the file says %q, the cook was told %q", got, prompts)
	}
}

// traced are the prompts that trace prints of a file.
func traced(t *testing.T, path string) (prompts []string) {
	t.Helper()
	var out, errOut bytes.Buffer
	if status := run(t.Context(), []string{"trace", path}, nil, &out, &errOut); status != 0 {
		t.Fatalf("trace: status %d, %s", status, errOut.String())
	}
	for _, r := range rows(t, out.String()) {
		for _, p := range r.Prompting {
			prompts = append(prompts, p.Kind+": "+p.Text)
		}
	}
	return prompts
}

// However the program is ended from outside, the terminal is put right where
// there still is one, and the batch can be continued.
func TestCookEndedBySignal(t *testing.T) {
	for _, sig := range []syscall.Signal{syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT} {
		t.Run(sig.String(), func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			probe := plugIn(t, hurriedMelt)
			s := onScreen(t, 80, 24, false, "cook", "--probe", probe.path, "--dir", dir)
			s.sees("◀ now") // readings come: the keys are taken
			s.press("m")
			s.sees("▲melt", "Swirl")
			s.cmd.Process.Signal(sig)
			if status := s.ends(); status != 1 {
				t.Errorf("exit status %d, want 1", status)
			}
			s.restored()
			kept := only(t, dir)
			if kept.Closed || kept.Torn || len(kept.Damage) > 0 || !has(kept, plateau.MarkMeltStart) {
				t.Errorf("closed %v, torn %v, damage %v, mark %v; want a whole file that can be continued", kept.Closed, kept.Torn, kept.Damage, has(kept, plateau.MarkMeltStart))
			}
		})
	}
}

// A closed window takes the terminal away altogether.
func TestCookSurvivesAClosedWindow(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	probe := plugIn(t, hurriedMelt)
	s := onScreen(t, 80, 24, false, "cook", "--probe", probe.path, "--dir", dir)
	s.sees("◀ now") // readings come: the keys are taken
	s.press("m")
	s.sees("▲melt", "Swirl")
	s.tty.Close()
	s.pty.Close() // the kernel hangs up
	s.ends()
	if kept := only(t, dir); kept.Torn || !has(kept, plateau.MarkMeltStart) {
		t.Errorf("torn %v, mark on record %v", kept.Torn, has(kept, plateau.MarkMeltStart))
	}
}

// kill -9 leaves no chance to tidy up. What was called synced is there all the
// same, and the same batch goes on.
func TestCookKilledAndContinued(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	probe := plugIn(t, hurriedMelt)
	s := onScreen(t, 80, 24, false, "cook", "--probe", probe.path, "--dir", dir)
	s.sees("◀ now") // readings come: the keys are taken
	s.press("m")
	s.sees("▲melt", "Look at the melt")
	s.cmd.Process.Kill()
	s.ends()
	before := only(t, dir)
	if acked, lost := s.cmd.acknowledged(before); acked == 0 || lost > 0 {
		t.Errorf("%d readings were called synced; of those lines %d are lost", acked, lost)
	}
	if !has(before, plateau.MarkMeltStart) || len(before.Damage) > 0 {
		t.Fatalf("melt mark on record %v, damage %v", has(before, plateau.MarkMeltStart), before.Damage)
	}

	again := onScreen(t, 80, 24, false, "cook", "--probe", probe.path, "--dir", dir, "--continue")
	again.sees("[melt]", "◀ now")
	again.press("d")
	again.waitFor("the mark on record", func() bool { return has(only(t, dir), plateau.MarkHeatDown) })
	again.cmd.Process.Signal(syscall.SIGTERM)
	again.ends()
	after := only(t, dir)
	resumed := false
	for in := range after.Inputs() {
		resumed = resumed || in.Kind == plateau.Resumed
	}
	if !resumed || len(after.Records) <= len(before.Records) || after.Closed {
		t.Errorf("resumed %v, %d records after %d, closed %v", resumed, len(after.Records), len(before.Records), after.Closed)
	}
	if got, want := traced(t, after.Path), spoken(after); !slices.Equal(got, want) {
		t.Errorf("trace of the continued batch says %q, the cook was told %q", got, want)
	}
}

// An unplugged probe is said, and found again when it comes back.
func TestCookLosesTheProbe(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	probe := plugIn(t, hurriedMelt)
	s := onScreen(t, 120, 40, false, "cook", "--probe", probe.path, "--dir", dir)
	s.sees("◀ now")
	probe.stop()
	<-probe.done
	s.waitFor("the loss on record", func() bool {
		return slices.ContainsFunc(only(t, dir).Records, func(r sessions.Record) bool { return r.Kind == sessions.SourceRecord && r.Link.String() == "lost" })
	})
	s.cmd.Process.Signal(syscall.SIGTERM)
	s.ends()
	s.restored()
}

// A stopped process gives the terminal back and takes it again.
func TestCookSuspended(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	probe := plugIn(t, hurriedMelt)
	s := onScreen(t, 80, 24, false, "cook", "--probe", probe.path, "--dir", dir)
	s.sees("◀ now") // readings come: the keys are taken
	s.press("m")
	s.sees("▲melt", "Swirl")
	s.cmd.Process.Signal(syscall.SIGTSTP)
	s.waitFor("the shell's screen", func() bool { return !s.em.IsAltScreen() && strings.Contains(s.text(), "nothing watches the pot") })
	s.waitFor("the terminal's own modes", func() bool { return s.modes() == s.before })
	again := time.NewTicker(50 * time.Millisecond) // a first one may come before the stop
	defer again.Stop()
	back := make(chan struct{})
	defer close(back)
	go func() {
		for {
			select {
			case <-again.C:
				s.cmd.Process.Signal(syscall.SIGCONT)
			case <-back:
				return
			}
		}
	}()
	s.waitFor("the pot's screen", func() bool { return s.em.IsAltScreen() && strings.Contains(s.text(), "[melt]") })
	s.cmd.Process.Signal(syscall.SIGTERM)
	s.ends()
	s.restored()
}

// On a terminal that never answers a query nothing waits for the answer.
func TestMuteTerminal(t *testing.T) {
	t.Parallel()
	s := onScreen(t, 80, 24, true, "cook", "--demo", "--speed", "50", "--dir", t.TempDir())
	s.sees("[melt]")
	if wrote := s.wrote(); strings.Contains(wrote, "\x1b]11;?") || strings.Contains(wrote, "\x1b[6n") {
		t.Error("the terminal was asked for its background or its cursor")
	}
	s.cmd.Process.Signal(syscall.SIGINT)
	if status := s.ends(); status != 0 {
		t.Errorf("exit status %d after an interrupt, want 0", status)
	}
	s.restored()
}

// Every size that a window can be dragged through is survived.
func TestCookResized(t *testing.T) {
	t.Parallel()
	s := onScreen(t, 80, 24, false, "cook", "--demo", "--speed", "50", "--dir", t.TempDir())
	s.sees("[melt]")
	for _, size := range [][2]int{{1, 1}, {2, 1}, {10, 3}, {500, 60}, {39, 11}, {40, 12}, {120, 40}} {
		s.resize(size[0], size[1])
	}
	s.sees("[")
	s.cmd.Process.Signal(syscall.SIGINT)
	s.ends()
	s.restored()
}

// A machine that cannot be kept awake is told of before anything is on the heat.
func TestCookMayFallAsleep(t *testing.T) {
	t.Parallel()
	probe := plugIn(t, func(n int) string { return fmt.Sprintf("T=%.1f C", 20+0.1*float64(n%3)) })
	cmd := exec.Command("env", "PATH=", program(t), "cook", "--probe", probe.path, "--dir", t.TempDir()) // finds no inhibitor
	s := commandOnScreen(t, 120, 40, false, cmd)
	s.sees("[ready]", "may fall asleep")
	s.cmd.Process.Signal(syscall.SIGTERM)
	s.ends()
	s.restored()
}

// When standard output is no terminal there is one plain line per event and
// per ten seconds, without an escape sequence, from the first to the last.
func TestCookIntoAPipe(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	var failed bytes.Buffer
	cmd := watched(t, exec.Command(program(t), "cook", "--demo", "--speed", "200", "--dir", dir))
	cmd.Stderr = &failed
	out, err := cmd.Output()
	cmd.leavesNothing(t)
	if err != nil {
		t.Fatalf("%v: %s", err, failed.String())
	}
	text := string(out)
	for _, want := range []string{"phase: melt", "phase: stall", "phase: climb", "PULL: ", "phase: pulled", "DIP-OPEN: ", "°F, stall, 235 °F in "} {
		if !strings.Contains(text, want) {
			t.Errorf("no line says %q", want)
		}
	}
	if strings.ContainsRune(text, '\x1b') {
		t.Error("an escape sequence goes into the pipe")
	}
	kept := only(t, dir)
	if !kept.Closed || !kept.Header.Demo {
		t.Errorf("closed %v, demo %v; want both", kept.Closed, kept.Header.Demo)
	}
	if got, want := traced(t, kept.Path), spoken(kept); !slices.Equal(got, want) || len(want) < 10 {
		t.Errorf("trace says %q, the cook was told %q", got, want)
	}
	info, err := os.Stat(filepath.Dir(kept.Path))
	if err != nil {
		t.Fatal(err)
	}
	file, err := os.Stat(kept.Path)
	if err != nil {
		t.Fatal(err)
	}
	if file.Mode().Perm() != 0o600 || !info.IsDir() {
		t.Errorf("the file's mode is %v, want it readable by its owner alone", file.Mode())
	}
}
