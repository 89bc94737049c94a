//go:build unix

package main

import (
	"fmt"
	"os/exec"
	"syscall"
	"testing"
	"time"

	"boildown/probe"
)

// loadHz is how often each channel is read under load.
const loadHz = 10

// fourChannels starts a cook with four channels at 10 Hz on a terminal: the pot
// and two more in the lines of one thermometer, and another thermometer.
func fourChannels(t testing.TB, dir, exe string) (s *screen, pot *thermometer) {
	pot = plugInEvery(t, time.Second/loadHz, func(n int) string {
		return fmt.Sprintf("%.2f;%.1f;%.1f", counted(n), 21+float64(n%10)/10, 150+float64(n%10)/10)
	})
	jug := plugInEvery(t, time.Second/loadHz, func(n int) string { return fmt.Sprintf("%.1f", 40+float64(n%10)/10) })
	s = commandOnScreen(t, 120, 40, false, exec.Command(exe, "cook", "--probe", pot.path, "--separator", ";", "--field", "1",
		"--also", "room=field:2,hob=field:3,jug="+jug.path, "--unit", "C", "--dir", dir))
	return s, pot
}

// Four channels at 10 Hz: every reading of the pot is on record, in order, the
// others once a second, and all are shown.
func TestFourChannels(t *testing.T) {
	t.Parallel()
	const enough = 100 // readings of the pot
	dir := t.TempDir()
	s, pot := fourChannels(t, dir, program(t))
	s.sees("room 21.", "hob 150.", "jug 40.")
	waitUntil(t, "ten seconds of readings", func() bool { return pot.sent.Load() > enough })
	s.cmd.Process.Signal(syscall.SIGTERM)
	s.ends()
	s.restored()
	kept := only(t, dir)
	readings, lines := s.cmd.acknowledged(kept)
	if lost := holes(kept, readings) + lines; lost > 0 || readings < enough/2 || len(kept.Damage) > 0 {
		t.Errorf("%d of %d readings lost, damage %v", lost, readings, kept.Damage)
	}
	last := map[string]time.Duration{}
	for r := range kept.Sides() {
		name, is := r.Text, r.Side
		if is.Fault == probe.FaultNone && !(is.C >= 21 && is.C < 22 || is.C >= 40 && is.C < 41 || is.C >= 150 && is.C < 151) {
			t.Errorf("%s is %v on record", name, is.C)
		}
		if before, again := last[name]; again && is.Fault == probe.FaultNone && is.At-before < time.Second {
			t.Errorf("%s is kept at %v and again at %v", name, before, is.At)
		}
		last[name] = is.At
	}
	if len(last) != 3 {
		t.Errorf("on record beside the pot: %v", last)
	}
}

// BenchmarkCookShareOfACore runs a cook at 10 readings a second on a terminal
// of 120 columns and 40 rows for half a minute, with one channel and with four,
// and reports how much of one core it takes:
// go test -run '^$' -bench CookShare -benchtime 1x ./cmd/boildown
func BenchmarkCookShareOfACore(b *testing.B) {
	for name, start := range map[string]func(b *testing.B) *screen{
		"one": func(b *testing.B) *screen {
			probe := plugInEvery(b, time.Second/loadHz, func(n int) string { return hurriedMelt(n / 25) })
			return commandOnScreen(b, 120, 40, false, exec.Command(shipped(b), "cook", "--probe", probe.path, "--dir", b.TempDir()))
		},
		"four": func(b *testing.B) *screen {
			s, _ := fourChannels(b, b.TempDir(), shipped(b))
			return s
		},
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				s := start(b)
				s.press("m")
				began := time.Now()
				s.waitFor("half a minute of readings", func() bool { return time.Since(began) > 30*time.Second })
				took := time.Since(began)
				s.cmd.Process.Signal(syscall.SIGTERM)
				s.ends()
				spent := s.cmd.ProcessState.UserTime() + s.cmd.ProcessState.SystemTime()
				b.ReportMetric(100*spent.Seconds()/took.Seconds(), "%-of-a-core")
				b.ReportMetric(float64(len(s.wrote()))/1024/took.Seconds(), "KB/s-to-terminal")
			}
		})
	}
}
