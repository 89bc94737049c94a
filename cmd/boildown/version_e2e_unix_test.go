//go:build unix

package main

import (
	"os/exec"
	"strings"
	"testing"
	"time"
)

// The terminal library asks a terminal for its colours as it starts up and
// waits five seconds for one that never answers. No command may wait for that.
func TestVersionOnAMuteTerminal(t *testing.T) {
	s := commandOnScreen(t, 80, 24, true, exec.Command(shipped(t), "version"))
	if status := s.ends(); status != 0 {
		t.Errorf("exit status %d", status)
	}
	if wrote := s.wrote(); strings.Contains(wrote, "\x1b") {
		t.Errorf("the terminal is asked for something: %q", wrote)
	}
	s.wait("the version", func() bool { return strings.HasPrefix(s.text(), "boildown ") })
}

// BenchmarkVersionOnAMuteTerminal reports how much longer version takes than
// true on a terminal that never answers queries.
func BenchmarkVersionOnAMuteTerminal(b *testing.B) {
	path := shipped(b)
	var ours, nothing time.Duration
	for b.Loop() {
		ours += onMuteTerminal(b, path, "version")
		nothing += onMuteTerminal(b, "true")
	}
	b.ReportMetric(float64((ours-nothing).Microseconds())/1e3/float64(b.N), "ms-more-than-true")
}

// onMuteTerminal returns how long a command takes there.
func onMuteTerminal(b *testing.B, name string, args ...string) time.Duration {
	b.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		b.Skip(err)
	}
	began := time.Now()
	s := commandOnScreen(b, 80, 24, true, exec.Command(path, args...))
	s.wait("the end", func() bool { return s.done })
	return time.Since(began)
}
