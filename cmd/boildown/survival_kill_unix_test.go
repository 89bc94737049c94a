//go:build unix

package main

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"boildown/sessions"
)

// fed is a cook of the real program whose readings come through a pipe.
type fed struct {
	cmd  *subject
	in   io.WriteCloser
	out  bytes.Buffer // both streams, whole after Wait
	dir  string
	sent []time.Time
}

func feed(t *testing.T, dir string, args ...string) *fed {
	t.Helper()
	f := &fed{dir: dir}
	f.cmd = watched(t, exec.Command(program(t), append([]string{"cook", "--probe", "-", "--plain", "--dir", dir}, args...)...))
	f.cmd.Stdout, f.cmd.Stderr = &f.out, &f.out
	var err error
	if f.in, err = f.cmd.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	if err := f.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return f
}

// next sends the next reading.
func (f *fed) next() error {
	_, err := fmt.Fprintf(f.in, "%.2f\n", counted(len(f.sent)))
	f.sent = append(f.sent, time.Now())
	return err
}

// until sends readings at 20 Hz until the time is over or stop is closed.
func (f *fed) until(d time.Duration) {
	tick := time.NewTicker(50 * time.Millisecond)
	defer tick.Stop()
	for end := time.Now().Add(d); time.Now().Before(end); <-tick.C {
		if f.next() != nil {
			return
		}
	}
}

// kept reads the one session of the cook, nil when there is none yet.
func (f *fed) kept() *sessions.Session {
	files, _ := filepath.Glob(filepath.Join(f.dir, "*"+sessions.Ext))
	if len(files) != 1 {
		return nil
	}
	s, err := sessions.Read(files[0])
	if err != nil {
		return nil
	}
	return s
}

func killed(t *testing.T, r *survivalRow, n int) {
	each(n, 24, func(int) {
		dir, done := tempFor(t)
		defer done()
		f := feed(t, dir)
		f.until(rand.N(5 * time.Second))
		f.cmd.Process.Kill()
		f.cmd.ends(t)
		s := f.kept()
		if s == nil { // killed before the first sync: there must be nothing to lose
			lines := syncedIn(f.cmd.dir)
			f.cmd.leavesNothing(t)
			r.count(lines == 0, 0, lines)
			return
		}
		acked, lost := f.cmd.acknowledged(s)
		f.cmd.leavesNothing(t)
		lost += missing(s, acked)
		again := feed(t, dir, "--continue")
		io.WriteString(again.in, "99.91\n99.92\n")
		again.in.Close()
		err := again.cmd.ends(t)
		again.cmd.leavesNothing(t)
		after := again.kept()
		ok := err == nil && after != nil && len(s.Damage) == 0 && replays(s) && replays(after) &&
			resumedIn(after) && after.Closed && lastC(after) == 99.92 && missing(after, acked) == missing(s, acked)
		if !ok {
			t.Errorf("killed after %d readings: %v: %s", len(f.sent), err, again.out.String())
		}
		r.count(ok, acked, lost)
	})
}

func secondRecorder(t *testing.T, r *survivalRow, n int) {
	for range n {
		dir, done := tempFor(t)
		f := feed(t, dir)
		f.until(time.Second)
		waitUntil(t, "the first reading on record", func() bool { s := f.kept(); return s != nil && lastC(s) > 0 })
		second := feed(t, dir, "--continue")
		second.in.Close()
		err := second.cmd.ends(t)
		second.cmd.leavesNothing(t)
		refused := err != nil && strings.Contains(second.out.String(), "end the other boildown first")
		f.until(200 * time.Millisecond)
		f.in.Close()
		ended := f.cmd.ends(t)
		f.cmd.leavesNothing(t)
		s := f.kept()
		if !refused || ended != nil || s == nil {
			t.Fatalf("refused %v (%s), the first ended %v", err, second.out.String(), ended)
		}
		r.count(!resumedIn(s) && s.Closed, len(f.sent), missing(s, len(f.sent)))
		done()
	}
}

func signalledCooks(t *testing.T, r *survivalRow, n int) {
	all := []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT}
	each(n, 4, func(i int) {
		dir, done := tempFor(t)
		defer done()
		f := feed(t, dir)
		f.until(500*time.Millisecond + rand.N(time.Second))
		waitUntil(t, "the first reading on record", func() bool { s := f.kept(); return s != nil && lastC(s) > 0 })
		f.cmd.Process.Signal(all[i%len(all)])
		f.cmd.ends(t)
		s := f.kept()
		ok := s != nil && len(s.Damage) == 0 && !s.Torn && s.Closed == (all[i%len(all)] == syscall.SIGINT)
		if !ok {
			t.Errorf("%v: %s", all[i%len(all)], f.out.String())
			r.count(false, 0, syncedIn(f.cmd.dir))
			return
		}
		acked, lost := f.cmd.acknowledged(s)
		f.cmd.leavesNothing(t)
		r.count(true, acked, lost+missing(s, acked))
	})
}

func vanishing(t *testing.T, r *survivalRow, n int) {
	each(n, 4, func(int) {
		dir, done := tempFor(t)
		defer done()
		batches := filepath.Join(dir, "batches")
		f := feed(t, batches)
		f.until(time.Second)
		waitUntil(t, "the first reading on record", func() bool { s := f.kept(); return s != nil && lastC(s) > 0 })
		if err := os.Rename(batches, batches+".away"); err != nil {
			t.Error(err)
		}
		f.until(2500 * time.Millisecond)
		if err := os.Rename(batches+".away", batches); err != nil {
			t.Error(err)
		}
		f.until(2 * time.Second)
		f.endsWhole(t, r)
	})
}

// endsWhole ends the cook in order and counts what it kept of all that was
// sent.
func (f *fed) endsWhole(t *testing.T, r *survivalRow) {
	f.in.Close()
	err := f.cmd.ends(t)
	f.cmd.leavesNothing(t)
	s := f.kept()
	if err != nil || s == nil {
		t.Errorf("ended by %v: %s", err, f.out.String())
		r.count(false, len(f.sent), len(f.sent))
		return
	}
	r.count(s.Closed && len(s.Damage) == 0 && replays(s), len(f.sent), missing(s, len(f.sent)))
}

// waitUntil looks again and again until ok holds.
func waitUntil(t testing.TB, what string, ok func() bool) {
	look := time.NewTicker(20 * time.Millisecond)
	defer look.Stop()
	for late := time.After(patience); !ok(); {
		select {
		case <-look.C:
		case <-late:
			t.Errorf("waited %v for %s", patience, what)
			return
		}
	}
}

// smallDisk mounts a file system of 64 KB, where that is allowed.
func smallDisk(t *testing.T, r *survivalRow, dir, options string) bool {
	out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=64k,"+options, "tmpfs", dir).CombinedOutput()
	if err != nil {
		r.skipped = fmt.Sprintf("cannot mount a small disk here (%s); sessions' own tests refuse writes instead", strings.TrimSpace(string(out)))
		return false
	}
	return true
}

func fullDisk(t *testing.T, r *survivalRow, n int) {
	for range n {
		dir, done := tempFor(t)
		if !smallDisk(t, r, dir, "mode=700") {
			return
		}
		f := feed(t, dir)
		f.until(time.Second)
		ballast := filepath.Join(dir, "ballast")
		os.WriteFile(ballast, make([]byte, 1<<20), 0o600) // as much as there is room for
		f.until(4 * time.Second)
		os.Remove(ballast)
		f.until(2 * time.Second)
		f.endsWhole(t, r)
		exec.Command("umount", dir).Run()
		done()
	}
}

func readOnlyDisk(t *testing.T, r *survivalRow, n int) {
	for range n {
		dir, done := tempFor(t)
		if !smallDisk(t, r, dir, "ro") {
			return
		}
		f := feed(t, dir)
		f.until(2 * time.Second)
		if out, err := exec.Command("mount", "-o", "remount,rw", dir).CombinedOutput(); err != nil {
			t.Errorf("%v: %s", err, out)
		}
		f.until(2 * time.Second)
		f.endsWhole(t, r)
		exec.Command("umount", dir).Run()
		done()
	}
}
