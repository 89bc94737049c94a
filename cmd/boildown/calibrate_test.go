package main

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
	"boildown/syrup"
)

// kettleProbe stands in ice or boiling water and shows what shows says of the
// bath; twice a second, from the first moment on.
type kettleProbe struct {
	shows func(bath probe.Celsius, at time.Duration) probe.Reading

	mu sync.Mutex
	in probe.Celsius
}

func (k *kettleProbe) Into(t probe.Celsius) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.in = t
}

func (k *kettleProbe) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	tick := time.NewTicker(500 * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
			k.mu.Lock()
			in := k.in
			k.mu.Unlock()
			r := k.shows(in, now())
			r.At = now()
			emit(probe.Event{Reading: r, HasReading: true})
		}
	}
}

// inKettle is a probe that reads ice and boil in the two baths.
func inKettle(ice, boil probe.Celsius) *kettleProbe {
	return &kettleProbe{in: 20, shows: func(bath probe.Celsius, _ time.Duration) probe.Reading {
		if bath > 50 {
			return probe.Reading{C: boil}
		}
		return probe.Reading{C: ice}
	}}
}

// calibrated runs a calibration whose keys are typed and returns what it kept,
// one "key = value" a line, and what it said.
func calibrated(t *testing.T, src source, pPa float64, before calibrationRecord, typed string) (kept, said string, err error) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		start := time.Now()
		var out strings.Builder
		c := calibration{
			bench:  newBench(ctx, strings.NewReader(typed), &out, src, func() time.Duration { return time.Since(start) }, probe.UnitC),
			air:    air{pPa: pPa, from: "a test"},
			before: before,
			today:  time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC),
			keep: func(changes []change) (string, error) {
				for _, c := range changes {
					if c.literal != "" {
						kept += strings.Join(c.key, ".") + " = " + c.literal + "\n"
					}
				}
				return "the test", nil
			},
		}
		err = c.run(ctx)
		said = out.String()
		cancel()
	})
	return kept, said, err
}

// Check value: 95 461 Pa boils water at 98.312 °C, give or take half of the last
// digit (IAPWS-IF97); a probe that
// reads 0.6 and 99.1 there has gain 0.99810, and its 113.3 is 112.485.
func TestCalibrate(t *testing.T) {
	kept, said, err := calibrated(t, inKettle(0.6, 99.1), 95461, calibrationRecord{}, "\n\n\n")
	if err != nil {
		t.Fatal(err, said)
	}
	want := "calibration.date = 2026-11-25\ncalibration.ice = \"0.600C\"\ncalibration.boil = \"99.100C\"\ncalibration.water = \"98.313C\"\n"
	if kept != want {
		t.Errorf("kept\n%swant\n%s", kept, want)
	}
	for _, words := range []string{"scald", "20 minutes of cool running water", "steady at 0.60 °C: accepted", "By ice and boiling water: gain 0.9981", "-0.81 °C at 113 °C", "Kept with the test"} {
		if !strings.Contains(said, words) {
			t.Errorf("leaves out %q:\n%s", words, said)
		}
	}
	s, bad := parseSettings("[probe.k]\naddress = \"x\"\n[probe.k.calibration]\n"+strings.ReplaceAll(kept, "calibration.", ""), "x")
	if bad != nil {
		t.Fatal(bad)
	}
	if got := float64(s.probes["k"].cal.Apply(113.3)); math.Abs(got-112.485) > 0.0015 {
		t.Errorf("113.3 is corrected to %.4f, want 112.485", got)
	}
}

// One boil of water sets the calibration or the pressure, never both.
func TestCalibrate_points(t *testing.T) {
	before := calibrationRecord{Calibration: probe.Calibration{Gain: 1, Offset: -1}, exists: true}
	for _, row := range []struct {
		name, typed string
		pPa         float64
		want        string
	}{
		{"boil alone, pressure known", "s\n\n\n", 95461, "calibration.date = 2026-11-25\ncalibration.boil = \"99.100C\"\ncalibration.water = \"98.313C\"\n"},
		{"ice alone", "\ns\n\n", 95461, "calibration.date = 2026-11-25\ncalibration.ice = \"0.600C\"\n"},
		{"both, pressure unknown", "\n\n\n", 0, "water-boils = \"98.500C\"\nwater-boils-on = 2026-11-25\ncalibration.date = 2026-11-25\ncalibration.ice = \"0.600C\"\n"},
		{"boil alone, pressure unknown", "s\n\n\n", 0, "water-boils = \"98.100C\"\nwater-boils-on = 2026-11-25\n"},
		{"thrown away", "\n\nn\n", 95461, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			kept, said, err := calibrated(t, inKettle(0.6, 99.1), row.pPa, before, row.typed)
			if err != nil || kept != row.want {
				t.Errorf("kept\n%swant\n%s%v\n%s", kept, row.want, err, said)
			}
		})
	}
}

func TestCalibrate_refuses(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, row := range []struct {
		name  string
		src   *kettleProbe
		pPa   float64
		typed string
		want  string // of the error
		said  string
	}{
		{"no ice", inKettle(4.2, 99.1), 95461, "\n", "did not become steady", "not accepted: ice melts at 0 °C"},
		{"no rolling boil", inKettle(0.6, 92), 95461, "\n\n", "did not become steady", "not accepted: water boils at 98.3 °C here"},
		{"no boil anywhere", inKettle(0.6, 60), 0, "\n\n", "did not become steady", "is it at a rolling boil?"},
		{"still moving", &kettleProbe{shows: func(_ probe.Celsius, at time.Duration) probe.Reading {
			return probe.Reading{C: probe.Celsius(2 - 0.008*at.Seconds())}
		}}, 95461, "\n", "did not become steady", "still falling, 0.5 °C a minute"},
		{"jumping", &kettleProbe{shows: func(probe.Celsius, time.Duration) probe.Reading {
			return probe.Reading{C: probe.Celsius(rng.NormFloat64())}
		}}, 95461, "\n", "did not become steady", "jumping about by"},
		{"nothing but faults", &kettleProbe{shows: func(probe.Celsius, time.Duration) probe.Reading {
			return probe.Reading{Fault: probe.FaultOpen}
		}}, 95461, "\n", "did not become steady", "open probe circuit  waiting for readings"},
		{"both left out", inKettle(0.6, 99.1), 95461, "s\ns\n", "nothing was measured", ""},
		{"stopped", inKettle(0.6, 99.1), 95461, "\nq\n", "stopped", ""},
		{"input ends", inKettle(0.6, 99.1), 95461, "\n", "the input ended", ""},
		{"input ends before the answer", inKettle(0.6, 99.1), 95461, "\n\n", "the input ended", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			kept, said, err := calibrated(t, row.src, row.pPa, calibrationRecord{}, row.typed)
			if err == nil || !strings.Contains(err.Error(), row.want) || !strings.Contains(said, row.said) {
				t.Errorf("%v\n%s", err, said)
			}
			if kept != "" {
				t.Errorf("kept %q all the same", kept)
			}
		})
	}
}

// A source that ends is told as what it is.
func TestCalibrate_sourceEnds(t *testing.T) {
	_, _, err := calibrated(t, sourceFunc(func() error { return errors.New("no such port") }), 0, calibrationRecord{}, "\n")
	if err == nil || !strings.Contains(err.Error(), "no such port") {
		t.Errorf("got %v", err)
	}
}

type sourceFunc func() error

func (f sourceFunc) Run(context.Context, func() time.Duration, func(probe.Event)) error { return f() }

// A bath counts only when its reading has stood still.
func TestSteadiness(t *testing.T) {
	for _, row := range []struct {
		name  string
		every time.Duration
		n     int
		f     func(s float64) float64
		want  bool
		words string
	}{
		{"level", time.Second, 40, func(float64) float64 { return 0.4 }, true, "steady"},
		{"too short", time.Second, 20, func(float64) float64 { return 0.4 }, false, "level for 19 of 30 s"},
		{"too few", 5 * time.Second, 7, func(float64) float64 { return 0.4 }, false, "too few readings"},
		{"slow drift", time.Second, 40, func(s float64) float64 { return 0.4 + 0.003*s }, true, "steady"},
		{"drift", time.Second, 40, func(s float64) float64 { return 0.4 + 0.02*s }, false, "still rising, 1.2 °C a minute"},
		{"falling", time.Second, 40, func(s float64) float64 { return 5 - 0.1*s }, false, "still falling, 6.0 °C a minute"},
		{"coarse digits", time.Second, 40, func(s float64) float64 { return 0.5 * float64(int(s)%2) }, true, "steady"},
		{"just arrived", time.Second, 40, func(s float64) float64 { return 20 * math.Exp(-max(s-10, 0)/1) }, false, "settling"},
	} {
		t.Run(row.name, func(t *testing.T) {
			var s steadiness
			for i := range row.n {
				at := time.Duration(i) * row.every
				s.add(probe.Reading{At: at, C: probe.Celsius(row.f(at.Seconds()))})
			}
			if got, words := s.steady(), s.words(probe.UnitC); got != row.want || !strings.HasPrefix(words, row.words) {
				t.Errorf("steady %v, %q; want %v, %q", got, words, row.want, row.words)
			}
		})
	}
}

// A gap or a broken lead begins the look anew; a torn line does not.
func TestSteadiness_faults(t *testing.T) {
	for _, row := range []struct {
		fault probe.Fault
		want  int
	}{{probe.FaultGarbled, 10}, {probe.FaultOpen, 0}, {probe.FaultGone, 0}} {
		var s steadiness
		for i := range 10 {
			s.add(probe.Reading{At: time.Duration(i) * time.Second})
		}
		s.add(probe.Reading{At: 10 * time.Second, Fault: row.fault})
		if got := s.look().count; got != row.want {
			t.Errorf("after %s %d readings are kept, want %d", row.fault, got, row.want)
		}
	}
	var s steadiness
	s.add(probe.Reading{At: 0})
	s.add(probe.Reading{At: time.Minute})
	if got := s.look().count; got != 1 {
		t.Errorf("after a gap %d readings are kept", got)
	}
}

// A recorded probe is calibrated like a live one.
func TestCalibrate_playback(t *testing.T) {
	temps := make([]probe.Celsius, 80)
	for i := range temps {
		temps[i] = 0.3
	}
	src := &probetest.Playback{Steps: probetest.Readings(time.Second, temps...)}
	kept, said, err := calibrated(t, src, 101325, calibrationRecord{}, "\ns\n\n")
	if err != nil || !strings.Contains(kept, `ice = "0.300C"`) {
		t.Errorf("%q, %v\n%s", kept, err, said)
	}
}

func TestParsePressure(t *testing.T) {
	for _, row := range []struct {
		in   string
		want float64
	}{
		{"954.61hPa", 95461}, {"95.461 kPa", 95461}, {"95461Pa", 95461}, {"954.61 mbar", 95461},
		{"29.92126inHg", 101325}, {"760mmHg", 101325}, // one atmosphere, NIST SP 811
	} {
		if got, err := parsePressure(row.in); err != nil || math.Abs(got-row.want) > 1 {
			t.Errorf("%s is %.1f Pa, want %.0f (%v)", row.in, got, row.want, err)
		}
	}
	for _, bad := range []string{"", "954", "hPa", "9hPa", "2000hPa", "NaNhPa", "x kPa", "1e400Pa"} {
		if got, err := parsePressure(bad); err == nil {
			t.Errorf("%q passes for %v Pa", bad, got)
		}
	}
}

// The weather report's figure is for sea level: at 1600 m the same report
// means another pressure, and with the standard figure it is the standard one.
func TestWeather(t *testing.T) {
	cmd := calibrateCommand()
	if err := cmd.ParseFlags([]string{"--weather", "1013.25hPa", "--altitude", "1600m"}); err != nil {
		t.Fatal(err)
	}
	out := &strings.Builder{}
	cmd.SetOut(out)
	cmd.SetIn(strings.NewReader("q\n"))
	cmd.SetContext(t.Context())
	err := cmd.RunE(cmd, nil)
	if err == nil {
		t.Fatal("no probe is named, and none is missed")
	}
	f := calibrateFlags{altitude: 1600, weather: 101325}
	got, err := f.air(cmd)
	if want := syrup.Pressure(1600); err != nil || math.Abs(got.pPa-want) > 1 {
		t.Errorf("%.0f Pa, want %.0f (%v)", got.pPa, want, err)
	}
}
