package main

import (
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/probetest"
)

var replugs = flag.Int("replugs", 5, "how often TestCookReplugged pulls the probe out")

// The probe is pulled out again and again during a cook and comes back under
// another name each time: every reading it gave is in the record, each gap is
// marked, and no descriptors are used up. The long form, with -args -replugs
// 100, also wants each gap over within 2 s and the processor hardly used, which
// is not for a machine that is busy with other tests.
func TestCookReplugged(t *testing.T) {
	t.Parallel()
	const each = 5 // readings between two losses
	dir := t.TempDir()
	cable := probetest.NewCable(t)
	cmd := watched(t, exec.Command(program(t), "cook", "--probe", cable.Path(), "--target", "235F", "--dir", dir))
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	defer cmd.Process.Kill()
	began := time.Now()
	reading := func(n int) float64 { return math.Round((100+float64(n)/100)*100) / 100 }
	open := 0
	for round := range *replugs {
		cable.Send("\n") // ends the line that the port was opened in
		for i := range each {
			cable.Send(fmt.Sprintf("%.2f\n", reading(round*each+i)))
		}
		recorded(t, dir, reading(round*each+each-1))
		if n := openIn(t, cmd.Process.Pid); round == 0 {
			open = n
		} else if n > open {
			t.Fatalf("round %d: %d descriptors open, %d at first", round, n, open)
		}
		if round < *replugs-1 {
			cable.Unplug()
			cable.Plug()
		}
	}
	life := time.Since(began)
	if err := cmd.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	cmd.ends(t)
	cmd.leavesNothing(t)
	long := *replugs >= 50
	if used := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(); long && used > life/5 {
		t.Errorf("%v of the processor in %v", used, life)
	}

	next, gaps := 0, 0
	var lost time.Duration = -1
	for _, r := range only(t, dir).Records {
		if r.Input.Kind != plateau.Measured || r.Link != probe.LinkSame || r.Input == (plateau.Input{}) {
			continue
		}
		switch {
		case r.Input.Fault == probe.FaultGone:
			gaps++
			lost = r.At
		case r.Input.Fault != probe.FaultNone || math.Abs(float64(r.Input.C)-reading(next)) > 1e-6:
			t.Fatalf("record %+v, want the reading %v", r.Input, reading(next))
		default:
			if long && lost >= 0 && r.At-lost > 2*time.Second {
				t.Errorf("a gap of %v before %v", r.At-lost, r.Input.C)
			}
			lost = -1
			next++
		}
	}
	if next != *replugs*each || gaps != *replugs-1 {
		t.Errorf("%d readings and %d gaps on record, want %d and %d", next, gaps, *replugs*each, *replugs-1)
	}
	t.Logf("%d losses in %v, %v of the processor", gaps, life.Round(time.Second), cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime())
}

// recorded waits until the session in dir holds the reading.
func recorded(t *testing.T, dir string, c float64) {
	t.Helper()
	want := fmt.Sprintf(`"c":%v`, c)
	look := time.NewTicker(50 * time.Millisecond)
	defer look.Stop()
	for limit := time.After(patience); ; {
		select {
		case <-look.C:
			files, _ := filepath.Glob(filepath.Join(dir, "*.jsonl"))
			for _, f := range files {
				if b, err := os.ReadFile(f); err == nil && (strings.Contains(string(b), want+",") || strings.Contains(string(b), want+"}")) {
					return
				}
			}
		case <-limit:
			t.Fatalf("the reading %v is not on record", c)
		}
	}
}

// openIn counts the open files of a process.
func openIn(t *testing.T, pid int) int {
	t.Helper()
	all, err := os.ReadDir(fmt.Sprintf("/proc/%d/fd", pid))
	if err != nil {
		t.Fatal(err)
	}
	return len(all)
}
