//go:build unix

package sessions

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

var crashes = flag.Int("crashes", 20, "how many recordings to kill")

// TestMain lets the test binary be the recording program that is killed.
func TestMain(m *testing.M) {
	if dir := os.Getenv("BOILDOWN_RECORD_UNTIL_KILLED"); dir != "" {
		recordUntilKilled(dir)
	}
	os.Exit(m.Run())
}

// recordUntilKilled records as fast as the disk syncs and tells after each
// sync how many lines are safe. Every fiftieth is a mark, which syncs at once.
func recordUntilKilled(dir string) {
	h := testHeader()
	h.Start = time.Now()
	r, err := Create(dir, h)
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	for i := range 100_000_000 {
		at := time.Duration(i) * 10 * time.Millisecond
		if i%50 == 49 {
			r.Input(plateau.Input{Kind: plateau.Marked, At: at, Mark: plateau.MarkNote, Text: strconv.Itoa(i)})
			fmt.Println(r.Status().Synced)
			continue
		}
		r.Input(plateau.Input{Kind: plateau.Measured, At: at, C: probe.Celsius(i%3000) / 10})
	}
	os.Exit(1)
}

// Kill -9 at any moment: the session opens, holds every line that was called
// safe, in order, replays, and can be continued.
func TestKilledRecordings(t *testing.T) {
	if testing.Short() {
		t.Skip("kills programs")
	}
	lost, survived, called := 0, 0, 0
	for i := range *crashes {
		dir := t.TempDir()
		safe := killOne(t, dir, 1+rand.N(400))
		called += safe
		files, err := filepath.Glob(filepath.Join(dir, "*"+Ext))
		if err != nil || len(files) != 1 {
			t.Fatalf("%d files after a crash (%v)", len(files), err)
		}
		s, again, err := Continue(files[0])
		if errors.Is(err, ErrEmpty) && safe == 0 {
			survived++
			continue
		}
		if err != nil {
			t.Errorf("crash %d: %v", i, err)
			continue
		}
		if err := again.Close(Summary{}); err != nil {
			t.Errorf("crash %d: continuing: %v", i, err)
		}
		lines := len(s.Records) // the resumption stands for the header
		if lines < safe {
			lost += safe - lines
		}
		survived++
		checkOrder(t, s)
	}
	t.Logf("kill -9: tried %d, survived %d, lines acknowledged %d, of them lost %d", *crashes, survived, called, lost)
	if called == 0 {
		t.Error("no recording came to call a line safe")
	}
	if lost > 0 {
		t.Errorf("%d lines that were called safe are lost", lost)
	}
}

// killOne kills a recording after it has said n times what is safe, and
// returns what it said last.
func killOne(t *testing.T, dir string, n int) (safe int) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "BOILDOWN_RECORD_UNTIL_KILLED="+dir)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for said := 0; lines.Scan(); said++ {
		if v, err := strconv.Atoi(strings.TrimSpace(lines.Text())); err == nil {
			safe = v
		} else {
			t.Error(lines.Text())
		}
		if said == n {
			cmd.Process.Kill()
		}
	}
	cmd.Wait() // killed: its error is what was wanted
	return safe
}

// checkOrder checks that the inputs before the resumption follow each other
// without a hole.
func checkOrder(t *testing.T, s *Session) {
	t.Helper()
	i := 0
	for in := range s.Inputs() {
		if in.Kind == plateau.Resumed {
			break
		}
		if in.At != time.Duration(i)*10*time.Millisecond {
			t.Errorf("input %d stands at %v", i, in.At)
			return
		}
		i++
	}
	if len(s.Damage) > 0 {
		t.Errorf("damage after a crash: %v", s.Damage)
	}
}
