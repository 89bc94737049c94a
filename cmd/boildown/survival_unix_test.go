//go:build unix

package main

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"text/tabwriter"
	"time"

	"boildown/plateau"
	"boildown/probe/probetest"
	"boildown/sessions"
)

var matrix = flag.Bool("matrix", false, "TestFaults runs its long form and prints the table")

// TestFaults does to a recording cook what may happen to one and counts what
// survived. The long form, with a thousand kills, is
//
//	go test ./cmd/boildown -run TestFaults -timeout 60m -args -matrix
//
// A reading counts as acknowledged when it is synced, which is at the latest a
// second after it came; no acknowledged reading may be lost.
func TestFaults(t *testing.T) {
	if testing.Short() {
		t.Skip("kills programs and waits for disks")
	}
	probetest.LeavesNothing(t)
	table := &survival{}
	t.Run("rows", func(t *testing.T) {
		for _, f := range []struct {
			name string
			few  int // times in the short form
			many int // times in the long form
			run  func(t *testing.T, r *survivalRow, n int)
		}{
			{"kill -9 at a random moment, then cook --continue", 6, 1000, killed},
			{"power cut at each write and sync", 30, 200, powerCuts},
			{"tail torn", 40, 2000, damaged(torn)},
			{"tail filled with zeros", 40, 2000, damaged(zeroed)},
			{"tail filled with noise", 40, 2000, damaged(noisy)},
			{"one bit flipped", 40, 2000, damaged(flipped)},
			{"a second recorder on the file", 1, 5, secondRecorder},
			{"disk full, then room again", 1, 2, fullDisk},
			{"disk read-only, then not", 1, 2, readOnlyDisk},
			{"folder away and back", 1, 10, vanishing},
			{"syncs of 1 s", 1, 2, onDisk(func(d *slowDisk) { d.sync = time.Second })},
			{"a disk that answers no more", 1, 2, onDisk(func(d *slowDisk) { d.stuck = true })},
			{"a disk that refuses each write", 1, 2, onDisk(func(d *slowDisk) { d.refuse = true })},
			{"alert command hangs", 1, 2, withAlert("sleep 600")},
			{"alert command fails", 1, 2, withAlert("exit 3")},
			{"alert command floods", 1, 2, withAlert("yes")},
			{"alert command forks", 1, 2, withAlert("for i in 1 2 3 4 5; do sleep 600 & done; wait")},
			{"SIGINT, SIGTERM, SIGHUP, SIGQUIT", 4, 40, signalledCooks},
			{"panic in each goroutine", len(panics), 10 * len(panics), panicking},
			{"terminal that takes no bytes", 1, 10, deafTerminal},
			{"200 sizes of the window, 1×1 and 500 columns", 1, 10, resizeStorm},
		} {
			n := f.few
			if *matrix {
				n = f.many
			}
			r := table.row(f.name)
			t.Run(f.name, func(t *testing.T) {
				if !*matrix {
					t.Parallel() // alone where delays are measured
				}
				r.ran = true
				f.run(t, r, n)
			})
		}
	})
	text := table.String()
	if *matrix {
		fmt.Print(text)
	} else {
		t.Log("\n" + text)
	}
	for _, r := range table.rows {
		if r.ran && r.skipped == "" && (r.tried == 0 || r.survived != r.tried || r.lost != 0) {
			t.Errorf("%s: survived %d of %d, %d readings lost", r.name, r.survived, r.tried, r.lost)
		}
	}
}

// survival is the table that a run prints.
type survival struct{ rows []*survivalRow }

type survivalRow struct {
	name string
	ran  bool

	mu              sync.Mutex
	tried, survived int
	acked, lost     int
	worst           time.Duration // longest that the screen or an alarm waited
	skipped         string
}

func (s *survival) row(name string) *survivalRow {
	r := &survivalRow{name: name}
	s.rows = append(s.rows, r)
	return r
}

// count adds one try.
func (r *survivalRow) count(survived bool, acked, lost int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.tried++
	if survived {
		r.survived++
	}
	r.acked += acked
	r.lost += lost
}

func (r *survivalRow) waited(d time.Duration) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.worst = max(r.worst, d)
}

func (s *survival) String() string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 4, 2, ' ', 0)
	fmt.Fprintln(w, "fault\ttried\tsurvived\tacknowledged\tlost\tscreen and alarm waited")
	for _, r := range s.rows {
		if r.skipped != "" {
			fmt.Fprintf(w, "%s\tskipped: %s\n", r.name, r.skipped)
			continue
		}
		worst := ""
		if r.worst > 0 {
			worst = fmt.Sprintf("%d ms at most", r.worst.Milliseconds())
		}
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%s\n", r.name, r.tried, r.survived, r.acked, r.lost, worst)
	}
	w.Flush()
	return b.String()
}

// each runs f n times, some at once, and waits.
func each(n, atOnce int, f func(i int)) {
	var wg sync.WaitGroup
	slots := make(chan struct{}, atOnce)
	for i := range n {
		slots <- struct{}{}
		wg.Go(func() {
			defer func() { <-slots }()
			f(i)
		})
	}
	wg.Wait()
}

// tempFor is a folder for one try, gone after it: a thousand are too many to
// keep to the end.
func tempFor(t *testing.T) (dir string, done func()) {
	t.Helper()
	dir, err := os.MkdirTemp(t.TempDir(), "try")
	if err != nil {
		t.Fatal(err)
	}
	return dir, func() { os.RemoveAll(dir) }
}

// missing counts the readings that ought to be in s and are not. Reading n is
// counted(n).
func missing(s *sessions.Session, n int) int {
	there := map[float64]bool{}
	for in := range s.Inputs() {
		if in.Kind == plateau.Measured {
			there[float64(in.C)] = true
		}
	}
	lost := 0
	for i := range n {
		if !there[counted(i)] {
			lost++
		}
	}
	return lost
}

// counted is the n-th reading of a cook whose readings all differ, °C.
func counted(n int) float64 { return float64(2000+n) / 100 }

// replays reports whether stepping the session's inputs raises the prompts that
// are on record, as far as the record goes.
func replays(s *sessions.Session) bool {
	state := plateau.Start(s.Header.Config)
	var told []plateau.Prompt
	for in := range s.Inputs() {
		var a plateau.Advice
		state, a = plateau.Step(state, in)
		told = slices.AppendSeq(told, a.Began.All)
	}
	var recorded []plateau.Prompt
	for rec := range s.Prompts() {
		recorded = append(recorded, rec.Prompt)
	}
	return len(recorded) <= len(told) && slices.Equal(recorded, told[:len(recorded)])
}

// resumedIn reports whether the gap is marked in s.
func resumedIn(s *sessions.Session) bool {
	for in := range s.Inputs() {
		if in.Kind == plateau.Resumed {
			return true
		}
	}
	return false
}
