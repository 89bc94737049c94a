//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A person calibrates a probe in a terminal: reads, presses Enter, and finds
// the result in the settings. Ctrl-C on the way keeps nothing.
func TestCalibrateOnATerminal(t *testing.T) {
	file := filepath.Join(t.TempDir(), "settings.toml")
	if err := os.WriteFile(file, []byte("[probe.kettle] # by the hob\naddress = \"sim\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	args := []string{"calibrate", "--probe", "kettle", "--pressure", "954.61hPa", "--speed", "100", "--unit", "C", "--config", file}

	s := onScreen(t, 80, 60, false, args...)
	s.sees("ICE. Fill a glass", "Enter when it is in:")
	s.press("\r")
	s.sees("accepted", "BOIL. Bring a pot")
	s.press("\r")
	s.sees("By ice and boiling water", "Enter keeps it")
	s.press("\r")
	lastWords(s, "Kept with kettle")
	kept, err := os.ReadFile(file)
	if err != nil || !strings.HasPrefix(string(kept), "[probe.kettle] # by the hob\naddress = \"sim\"\n") || !strings.Contains(string(kept), "water = \"98.313C\"") {
		t.Errorf("kept %s (%v)", kept, err)
	}

	s = onScreen(t, 80, 60, false, args...)
	s.sees("ICE. Fill a glass")
	s.press("\x03")
	s.ends()
	if after, _ := os.ReadFile(file); string(after) != string(kept) {
		t.Errorf("a broken-off calibration left %s", after)
	}
}

// A serial probe is heard, understood and kept under a name in one command.
func TestSaveASerialProbe(t *testing.T) {
	file := filepath.Join(t.TempDir(), "settings.toml")
	probe := plugIn(t, func(int) string { return "pot=212.4 F; room=71.0 F" })
	s := onScreen(t, 100, 24, false, "probes", "save", "kettle", "--probe", probe.path, "--key", "pot", "--probe-unit", "F", "--lag", "4s", "--config", file)
	lastWords(s, "Kept as kettle")
	heard := plugIn(t, func(int) string { return "T=99.5 C" })
	s = onScreen(t, 100, 24, false, "probes", "save", "spare", "--probe", heard.path, "--config", file)
	lastWords(s, "Kept as spare")
	set, err := loadSettings(file, false)
	if err != nil {
		t.Fatal(err)
	}
	p, q := set.probes["kettle"], set.probes["spare"]
	if p == nil || p.address != probe.path || p.values["key"].text != "pot" || p.values["probe-unit"].text != "F" || p.values["lag"].text != "4s" {
		t.Errorf("kettle is kept as %+v", p)
	}
	if q == nil || q.address != heard.path {
		t.Errorf("spare is kept as %+v", q)
	}

	// The name is all that a cook needs: its lines are read as they were kept.
	s = onScreen(t, 100, 24, false, "cook", "--plain", "--probe", "kettle", "--config", file, "--dir", t.TempDir())
	s.sees("212.4 °F")
	s.press("\x03")
	s.ends()
}

// lastWords waits for the end of a program that goes well and for its last
// words, which may reach the screen after it.
func lastWords(s *screen, words string) {
	s.t.Helper()
	if status := s.ends(); status != 0 {
		s.t.Errorf("exit status %d; the screen says\n%s", status, s.text())
	}
	s.wait(words, func() bool { return strings.Contains(s.text(), words) })
}
