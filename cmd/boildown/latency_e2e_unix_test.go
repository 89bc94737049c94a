//go:build unix

package main

import (
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/port"
	"boildown/probe/probetest"
)

var latency = flag.Int("latency", 0, "how many readings TestLatency times from the wire to the screen")

// delays is a row of the table: milliseconds from the byte on the wire.
func delays(what string, d []time.Duration) string {
	slices.Sort(d)
	at := func(q float64) float64 { return float64(d[int(q*float64(len(d)-1))].Microseconds()) / 1000 }
	return fmt.Sprintf("%-34s %6d %8.2f %8.2f %8.2f %8.2f", what, len(d), at(0.5), at(0.9), at(0.99), at(1))
}

// TestLatency times readings from the byte on a pseudo-terminal that stands for
// the wire to the advice of the fold, by which every prompt is raised, and to
// the glyph that another pseudo-terminal shows, drawn four times a second. It
// asserts nothing of a loaded machine; -args -latency 200 prints the table.
func TestLatency(t *testing.T) {
	if *latency == 0 {
		t.Skip("-args -latency 200 measures")
	}
	t.Logf("%-34s %6s %8s %8s %8s %8s", "ms from the wire to", "n", "median", "90 %", "99 %", "most")
	t.Log(delays("the fold's advice (its prompts)", wireToFold(t, *latency)))
	t.Log(delays("the screen, 4 Hz, 120×40", wireToScreen(t, *latency)))
}

// shownC alternates, so that each reading changes the figures.
func shownC(n int) float64 { return 60 + 3*float64(n%2) }

func wireToFold(t *testing.T, n int) (d []time.Duration) {
	cable := probetest.NewCable(t)
	src, err := port.New(port.Settings{Path: cable.Path(), Baud: port.DefaultBaud})
	if err != nil {
		t.Fatal(err)
	}
	p := newPump(newClock(uptime, 0, 1), plateau.Start(freshConfig()), 0, &memory{}, probe.UnitF)
	advised, up := make(chan time.Time, 1), make(chan struct{}, 1)
	p.watch = append(p.watch, func(in plateau.Input, a plateau.Advice) {
		if in.Kind == plateau.Measured && in.Fault == probe.FaultNone {
			advised <- time.Now()
		}
	})
	crew := newCrew(t.Context())
	defer crew.stop()
	crew.start("pump", p.run)
	crew.start("probe", func(ctx context.Context) {
		src.Run(ctx, p.clock.now, func(e probe.Event) {
			p.emit(ctx, e)
			if e.Link == probe.LinkUp {
				up <- struct{}{}
			}
		})
	})
	<-up
	cable.Send("\n")
	for i := range n {
		pause(t, 20*time.Millisecond+rand.N(10*time.Millisecond))
		sent := time.Now()
		cable.Send(fmt.Sprintf("%.1f\n", shownC(i)))
		d = append(d, (<-advised).Sub(sent))
	}
	return d
}

func wireToScreen(t *testing.T, n int) (d []time.Duration) {
	cable := probetest.NewCable(t)
	s := commandOnScreen(t, 120, 40, false, exec.Command(shipped(t), "cook", "--probe", cable.Path(), "--rate", "4", "--unit", "C", "--theme", "plain", "--dir", t.TempDir(), "--name", "Stall trial"))
	s.sees("Stall trial")
	cable.Send("\n")
	figures := func() string { // the large ones, upper left
		rows := strings.Split(s.text(), "\n")
		out := ""
		for _, row := range rows[1:min(14, len(rows))] {
			cells := []rune(row)
			out += string(cells[:min(len(cells), 50)]) + "\n"
		}
		return out
	}
	cable.Send(fmt.Sprintf("%.1f\n", shownC(1)))
	s.waitFor("figures", func() bool { return strings.ContainsAny(figures(), "█▀▄") })
	for i := range n {
		pause(t, 500*time.Millisecond+rand.N(250*time.Millisecond)) // at no fixed phase of the drawing
		var was string
		s.update(func() { was = figures() })
		sent := time.Now()
		cable.Send(fmt.Sprintf("%.1f\n", shownC(i)))
		s.waitFor("the new reading", func() bool { return figures() != was })
		d = append(d, time.Since(sent))
	}
	return d
}

// pause lets life go on for a while.
func pause(t *testing.T, d time.Duration) {
	t.Helper()
	select {
	case <-t.Context().Done():
	case <-time.After(d):
	}
}
