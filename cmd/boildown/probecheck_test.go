package main

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
)

// checked runs a probe check whose keys are typed on a simulated probe.
func checkedProbe(t *testing.T, lag time.Duration, named *namedProbe, path, typed string) (said string, err error) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		start := time.Now()
		var out strings.Builder
		c := probeCheck{
			bench: newBench(ctx, strings.NewReader(typed), &out, newPractice(lag, 1, 1), func() time.Duration { return time.Since(start) }, probe.UnitF),
			named: named, path: path, days: 30, today: time.Date(2026, 11, 25, 0, 0, 0, 0, time.Local),
		}
		err = c.run(ctx)
		said = out.String()
		cancel()
	})
	return said, err
}

// The check finds the lag that the simulated probe has, and its step and rate.
func TestProbesCheck(t *testing.T) {
	for _, lag := range []time.Duration{1500 * time.Millisecond, 4 * time.Second, 9 * time.Second} {
		said, err := checkedProbe(t, lag, nil, "", "\n")
		if err != nil {
			t.Fatal(err, said)
		}
		_, text, _ := strings.Cut(said, "lag         ")
		text, _, _ = strings.Cut(text, " s to 63 %")
		got, err := strconv.ParseFloat(text, 64)
		if want := lag.Seconds(); err != nil || math.Abs(got-want) > 0.1*want {
			t.Errorf("lag %q, want %.1f (%v)", text, want, err)
		}
		for _, words := range []string{"steps of 0.18 °F", "a reading each 0.5 s", "not calibrated: a sound probe may be off"} {
			if !strings.Contains(said, words) {
				t.Errorf("leaves out %q:\n%s", words, said)
			}
		}
	}
}

func TestProbesCheck_verdict(t *testing.T) {
	fresh := time.Date(2026, 11, 20, 0, 0, 0, 0, time.Local)
	cal := func(k calibrationRecord) *namedProbe {
		if err := k.workOut(1, 0); err != nil {
			t.Fatal(err)
		}
		return &namedProbe{name: "kettle", cal: k}
	}
	fine := probe.Quality{Readings: 200, Interval: 500 * time.Millisecond, Step: 0.1, Noise: 0.05, Lag: 4 * time.Second}
	coarse := fine
	coarse.Step = 1
	slow := fine
	slow.Lag = 20 * time.Second
	both := calibrationRecord{HasIce: true, Ice: 0.6, HasBoil: true, Boil: 99.1, Water: 98.3, Date: fresh}
	old := both
	old.Date = fresh.AddDate(0, -2, 0)
	for _, row := range []struct {
		name  string
		q     probe.Quality
		named *namedProbe
		want  string
	}{
		{"good", fine, cal(both), "Good enough for ±1 °F."},
		{"old", fine, cal(old), "its calibration is old"},
		{"ice alone", fine, cal(calibrationRecord{HasIce: true, Ice: 0.6, Date: fresh}), "in ice alone"},
		{"never", fine, nil, "but not calibrated"},
		{"coarse", coarse, cal(both), "Not good enough for ±1 °F:\n  its steps of 1.8 °F"},
		{"slow", slow, nil, "Not good enough for ±1 °F:\n  it follows a change only after 20 s"},
	} {
		c := probeCheck{bench: &bench{unit: probe.UnitF}, named: row.named, days: 30, today: time.Date(2026, 11, 25, 0, 0, 0, 0, time.Local)}
		if got := c.verdict(row.q); !strings.HasPrefix(got, row.want) && !strings.Contains(got, row.want) {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

func TestProbesCheck_keepsLag(t *testing.T) {
	path := filepath.Join(t.TempDir(), "settings.toml")
	if err := os.WriteFile(path, []byte("[probe.kettle] # by the hob\naddress = \"sim\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		typed string
		kept  bool
	}{{"\nn\n", false}, {"\n\n", true}} {
		if said, err := checkedProbe(t, 4*time.Second, &namedProbe{name: "kettle"}, path, row.typed); err != nil {
			t.Fatal(err, said)
		}
		s, err := loadSettings(path, false)
		if err != nil {
			t.Fatal(err)
		}
		lag, kept := s.probes["kettle"].values["lag"]
		if kept != row.kept {
			t.Errorf("typed %q: lag kept: %v", row.typed, kept)
		}
		if d, err := time.ParseDuration(lag.text); kept && (err != nil || d < 3600*time.Millisecond || d > 4400*time.Millisecond) {
			t.Errorf("kept a lag of %q, want 4 s (%v)", lag.text, err)
		}
	}
}
