package main

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"boildown/probe"
)

// ofOneBatch are the flags of cook that are no settings: they name one batch,
// or one way of starting it.
var ofOneBatch = []string{"demo", "speed", "seed", "name", "continue"}

func TestEveryFlagOfCookIsASetting(t *testing.T) {
	r := newSettingsReader("")
	r.flags.VisitAll(func(f *pflag.Flag) {
		known := slices.Contains(settable, f.Name) || slices.Contains(r.source, f.Name) || slices.Contains(ofOneBatch, f.Name)
		if !known {
			t.Errorf("--%s can be kept nowhere: add it to settable, or say that it is of one batch", f.Name)
		}
	})
	for _, name := range append(slices.Clone(settable), r.source...) {
		if r.flags.Lookup(name) == nil {
			t.Errorf("the setting %s is no flag of cook", name)
		}
	}
	// What an example in a remedy shows must itself be good.
	for _, name := range settable {
		if _, bad := parseSettings(strings.TrimPrefix(example(r.flags.Lookup(name)), "write it like ")+"\n", "x"); bad != nil {
			t.Errorf("the example of %s is refused: %v", name, bad)
		}
	}
}

const goodSettings = `# the stall's kitchen
near = "8F" # the hob is fast
default-probe = "kettle"
altitude = "300m"
rate = 2
quiet = true

[probe.kettle]
address = "usb:10C4:EA60:0001"
baud = 115200
field = 2
probe-unit = "F"
lag = "4.2s"

[probe.kettle.calibration]
date = 2026-11-01
ice = "0.6C"
boil = "99.1C"
water = "98.312C"

[probe.spare]
address = "/dev/ttyUSB1"
water-boils = "210.4F"
water-boils-on = "2026-11-20"
`

// The corrected reading is the check value of a two-point calibration: raw 0.6
// in ice and 99.1 in water boiling at 98.312 °C (95 461 Pa by IAPWS-IF97) make
// 113.3 a true 112.485.
func TestParseSettings(t *testing.T) {
	s, bad := parseSettings(goodSettings, "settings.toml")
	if bad != nil {
		t.Fatal(bad)
	}
	if got := s.values["near"]; got != (setting{"8F", 2}) {
		t.Errorf("near is %+v", got)
	}
	p := s.probes["kettle"]
	if p == nil || p.address != "usb:10C4:EA60:0001" || p.values["baud"].text != "115200" || p.values["lag"].line != 13 {
		t.Fatalf("kettle is %+v", p)
	}
	if got := float64(p.cal.Apply(113.3)); math.Abs(got-112.485) > 0.0005 {
		t.Errorf("113.3 is corrected to %.4f, want 112.485", got)
	}
	if got := p.cal.Gain; math.Abs(got-0.99810) > 0.00001 {
		t.Errorf("gain %.6f, want 0.99810", got)
	}
	if got := p.cal.Date.Format(time.DateOnly); got != "2026-11-01" {
		t.Errorf("dated %s", got)
	}
	if s.probes["spare"].boiled.IsZero() {
		t.Error("a day in quotes is not read")
	}
}

func TestParseSettings_bad(t *testing.T) {
	for _, row := range []struct {
		name, text string
		line       int
		field      string
		what, hint string
	}{
		{"no TOML", "near = 8F\n", 1, "", "", "text stands in quotes"},
		{"unknown key", "# x\nwater_boils = \"212F\"\n", 2, "water_boils", "means nothing", `did you mean "water-boils"?`},
		{"no unit", "near = \"5\"\n", 1, "near", "has no unit", `near = "5F"`},
		{"a number for text", "\nnear = 5\n", 2, "near", "has no unit", `near = "5F"`},
		{"a list", "near = [\"5F\"]\n", 1, "near", "a plain value", `near = "5F"`},
		{"no number", "rate = \"fast\"\n", 1, "rate", `cannot read "fast"`, "rate = 5"},
		{"beyond bounds", "rate = 60\n", 1, "rate", "not between 1 and 10", "rate = 5"},
		{"no boiling water", "water-boils = \"150F\"\n", 1, "water-boils", "not where water boils", "210.4F"},
		{"theme", "theme = \"pink\"\n", 1, "theme", "none of dark, light, plain", `theme = "dark"`},
		{"source flag outside", "baud = 9600\n", 1, "baud", "belongs to one probe", "[probe.kettle]"},
		{"probe as a value", "probe = \"kettle\"\n", 1, "probe", "default-probe", `default-probe = "kettle"`},
		{"no address", "[probe.kettle]\nbaud = 9600\n", 1, "probe.kettle.address", "where the probe is", "/dev/ttyUSB0"},
		{"probe's key", "[probe.kettle]\naddress = \"x\"\nunit = \"F\"\n", 3, "probe.kettle.unit", "means nothing", `"probe-unit"`},
		{"probe's name", "[probe.sim]\naddress = \"x\"\n", 1, "probe.sim", "an address", "[probe.kettle]"},
		{"unknown default", "default-probe = \"kettel\"\n[probe.kettle]\naddress = \"x\"\n", 1, "default-probe", "know no probe", `"kettle"`},
		{"half a boil", "[probe.k]\naddress = \"x\"\n[probe.k.calibration]\nboil = \"99C\"\n", 3, "probe.k.calibration", "belong together", "water is"},
		{"implausible offset", "[probe.k]\naddress = \"x\"\n[probe.k.calibration]\nice = \"3.2C\"\n", 3, "probe.k.calibration", "more than the 3 K", "boildown calibrate"},
		{"implausible gain", "[probe.k]\naddress = \"x\"\n[probe.k.calibration]\nice = \"-2C\"\nboil = \"102C\"\nwater = \"100C\"\n", 3, "probe.k.calibration", "within 0.97–1.03", "boildown calibrate"},
		{"given twice", "[probe.k]\naddress = \"x\"\n[probe.k.calibration]\nice = \"0.2C\"\ngain = 1.0\n", 3, "probe.k.calibration", "given twice", "or gain and offset"},
		{"no date", "[probe.k]\naddress = \"x\"\n[probe.k.calibration]\ndate = \"soon\"\n", 4, "probe.k.calibration.date", "a date", "2026-11-25"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, bad := parseSettings(row.text, "settings.toml")
			if bad == nil {
				t.Fatal("passes for good")
			}
			p := bad.Problems[0]
			if p.Line != row.line || p.Field != row.field || !strings.Contains(p.What, row.what) || !strings.Contains(p.Remedy, row.hint) {
				t.Errorf("got line %d, field %q, %q, remedy %q", p.Line, p.Field, p.What, p.Remedy)
			}
		})
	}
}

// A value that is typed beats the probe's own, that the other settings, those
// the default.
func TestPrecedence(t *testing.T) {
	file := filepath.Join(t.TempDir(), "settings.toml")
	text := goodSettings + "\n"
	text = strings.Replace(text, "rate = 2", "rate = 2\nlag = \"9s\"\nreaction = \"4s\"", 1)
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name string
		args []string
		want map[string]string
	}{
		{"as it stands", nil, map[string]string{
			"lag": "4.2s, settings.toml line 15 [probe.kettle]", "reaction": "4s, settings.toml line 7",
			"carry-over": "0F, default", "near": "8F, settings.toml line 2", "default-probe": "kettle, settings.toml line 3",
		}},
		{"typed", []string{"--lag", "1s", "--near", "3F"}, map[string]string{"lag": "1s, flag", "near": "3F, flag"}},
		{"another probe", []string{"--probe", "spare"}, map[string]string{
			"lag": "9s, settings.toml line 6", "water-boils": "210.4F, settings.toml line 25 [probe.spare]",
		}},
		{"simulated", []string{"--demo"}, map[string]string{"lag": "3s, default", "default-probe": ", not set", "near": "8F, settings.toml line 2"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := map[string]string{}
			runRows(t, append(row.args, "--config", file), got)
			for key, want := range row.want {
				if got[key] != want {
					t.Errorf("%s is %q, want %q", key, got[key], want)
				}
			}
		})
	}
}

// runRows runs boildown settings with args and fills in "value, origin".
func runRows(t *testing.T, args []string, into map[string]string) {
	t.Helper()
	root := rootCommand()
	cmd, _, err := root.Find([]string{"settings"})
	if err != nil {
		t.Fatal(err)
	}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		for _, r := range settingRows(cmd.Flags()) {
			into[r.Key] = r.Value + ", " + r.From
		}
		return nil
	}
	root.SetArgs(append([]string{"settings"}, args...))
	if err := root.ExecuteContext(t.Context()); err != nil {
		t.Fatal(err)
	}
}

// The strongest word on the air pressure holds: a typed altitude beats a
// boiling point that is kept, and of equals the boiling point.
func TestPressurePrecedence(t *testing.T) {
	for _, row := range []struct {
		kept string
		args []string
		want float64 // kPa
	}{
		{"", nil, 0},
		{"altitude = \"1600m\"\n", nil, 83.52}, // ISO 2533
		{"altitude = \"1600m\"\nwater-boils = \"98.312C\"\n", nil, 95.461},        // IAPWS-IF97
		{"water-boils = \"98.312C\"\n", []string{"--altitude", "1600m"}, 83.52},   //
		{"altitude = \"1600m\"\n", []string{"--water-boils", "98.312C"}, 95.461},  //
		{"", []string{"--altitude", "1600m", "--water-boils", "98.312C"}, 95.461}, //
		{"altitude = \"0m\"\n[probe.k]\naddress = \"x\"\nwater-boils = \"98.312C\"\n", []string{"--probe", "k"}, 95.461},
	} {
		s, bad := parseSettings(row.kept, "settings.toml")
		if bad != nil {
			t.Fatal(bad)
		}
		var flags cookFlags
		cmd := &cobra.Command{}
		flags.batch.register(cmd.Flags())
		flags.source.register(cmd.Flags())
		if err := cmd.ParseFlags(row.args); err != nil {
			t.Fatal(err)
		}
		if err := s.lay(cmd.Flags(), settable); err != nil {
			t.Fatal(err)
		}
		set, err := flags.batch.settle(freshConfig())
		if err != nil || math.Abs(set.Pressure/1e3-row.want) > 0.01 {
			t.Errorf("kept %q, typed %q: %.3f kPa, want %.3f (%v)", row.kept, row.args, set.Pressure/1e3, row.want, err)
		}
	}
}

// What is kept for a cook must not touch a file of other people's, a script's
// answer, or the search for a batch that is over.
func TestHeeded(t *testing.T) {
	for path, want := range map[string]string{
		"trace": "", "import": "dir", "export": "dir", "plan": "altitude water-boils unit dir", "replay": "unit theme ascii rate plain dir", "version": "",
	} {
		cmd, _, err := rootCommand().Find([]string{path})
		if err != nil {
			t.Fatal(err)
		}
		if cmd.Name() != path {
			t.Logf("no command %s yet", path)
			continue
		}
		if got := strings.Join(heededBy(cmd), " "); got != want {
			t.Errorf("%s heeds %q, want %q", path, got, want)
		}
	}
}

func TestProbeWarnings(t *testing.T) {
	s, bad := parseSettings(goodSettings, "settings.toml")
	if bad != nil {
		t.Fatal(bad)
	}
	day := func(d int) time.Time { return time.Date(2026, 11, d, 12, 0, 0, 0, time.Local) }
	for _, row := range []struct {
		probe string
		now   time.Time
		days  int
		boil  bool
		want  string
	}{
		{"kettle", day(25), 30, false, ""},
		{"kettle", day(25).AddDate(0, 0, 10), 30, false, "34 days old"},
		{"kettle", day(25), 7, false, "24 days old"},
		{"spare", day(20), 30, true, ""},
		{"spare", day(25), 30, true, "the weather moves that"},
		{"spare", day(25), 30, false, ""},
	} {
		got := strings.Join(s.probes[row.probe].warnings(row.now, row.days, row.boil), "; ")
		if (got == "") != (row.want == "") || !strings.Contains(got, row.want) {
			t.Errorf("%s on %s: %q, want %q", row.probe, row.now.Format(time.DateOnly), got, row.want)
		}
	}
	var none *namedProbe
	if none.warnings(day(1), 30, true) != nil {
		t.Error("a probe without a name is warned of")
	}
}

func TestSourceUse(t *testing.T) {
	s, bad := parseSettings(goodSettings, "settings.toml")
	if bad != nil {
		t.Fatal(bad)
	}
	f := sourceFlags{probe: "kettle"}
	if err := f.use(s); err != nil || f.probe != "usb:10C4:EA60:0001" || f.name() != "kettle" {
		t.Errorf("kettle is %q, called %q (%v)", f.probe, f.name(), err)
	}
	if f.calibration() == (probe.Calibration{}) {
		t.Error("its calibration is not in use")
	}
	f = sourceFlags{probe: "kettel"}
	var bad2 *failure
	if err := f.use(s); !errors.As(err, &bad2) || bad2.hint != `did you mean "kettle"?` {
		t.Errorf("a slip of the finger gets %v", err)
	}
	for _, address := range []string{"sim", "/dev/ttyUSB0", "com3", "COM3", "usb:10C4:EA60", "-", "w1:28-0000056d1c3c"} {
		f = sourceFlags{probe: address}
		if err := f.use(s); err != nil || f.probe != address {
			t.Errorf("%s: %v", address, err)
		}
	}
}
