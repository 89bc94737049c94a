package main

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// A reader who does not read must not hold up the pump; what is lost is said.
func TestPrinterDropsAndSays(t *testing.T) {
	var out strings.Builder
	p := newPrinter(&out)
	for i := range 1500 {
		fmt.Fprintf(p, "line %d\n", i)
	}
	done := make(chan struct{})
	close(done)
	if err := p.run(done); err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(p, "line 1500\n")
	if err := p.run(done); err != nil {
		t.Fatal(err)
	}
	if got := out.String(); !strings.HasSuffix(got, "line 1023\n(476 lines were not read in time)\nline 1500\n") {
		t.Errorf("the end of what was printed is %q", got[len(got)-80:])
	}
}

func TestPlainLines(t *testing.T) {
	var out strings.Builder
	p := &plain{out: &out, unit: probe.UnitF}
	p.news(0, "Probe found.\x1b[2J")
	for s := range 25 {
		a := plateau.Advice{HasNow: true, Now: 104.4444, Phase: plateau.Stall, Target: 112.7778}
		a.Forecast = plateau.Forecast{ETA: 245 * time.Second, Low: 200 * time.Second, High: 300 * time.Second, By: plateau.ByStallLine}
		p.watch(plateau.Input{At: time.Duration(s) * time.Second}, a)
	}
	p.watch(plateau.Input{At: 25 * time.Second, Kind: plateau.Marked, Mark: plateau.MarkHeatDown}, plateau.Advice{Phase: plateau.Climb})
	want := `0:00  probe: Probe found. [2J
0:00  phase: stall
0:00  220.0 °F, stall, 235 °F in 4:05 (3:20 to 5:00)
0:10  220.0 °F, stall, 235 °F in 4:05 (3:20 to 5:00)
0:20  220.0 °F, stall, 235 °F in 4:05 (3:20 to 5:00)
0:25  mark: heat-down
0:25  phase: climb
`
	if got := out.String(); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestClockTime(t *testing.T) {
	for _, c := range []struct {
		d    time.Duration
		want string
	}{{0, "0:00"}, {-time.Second, "0:00"}, {59500 * time.Millisecond, "1:00"}, {245 * time.Second, "4:05"}, {3845 * time.Second, "1:04:05"}} {
		if got := clockTime(c.d); got != c.want {
			t.Errorf("%v is written %q, want %q", c.d, got, c.want)
		}
	}
}
