package sysfs

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
	"boildown/probe/poll"
	"boildown/probe/probetest"
)

// tree lays out files below a root as sysfs shows them.
func tree(t *testing.T, files map[string]string) (root string) {
	t.Helper()
	root = t.TempDir()
	for _, path := range slices.Sorted(maps.Keys(files)) {
		full := filepath.Join(root, path)
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, []byte(files[path]), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return root
}

// machine has one of everything: a 1-wire sensor with the whole of its memory
// and one with the bare number (Documentation/w1/slaves/w1_therm.rst), a hwmon
// chip (Documentation/hwmon/sysfs-interface.rst), a thermocouple converter, a
// converter with offset and scale, and one that is already scaled
// (Documentation/ABI/testing/sysfs-bus-iio).
func machine(t *testing.T) string {
	return tree(t, map[string]string{
		"bus/w1/devices/28-0000056d1c3c/w1_slave":         "72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n",
		"bus/w1/devices/28-0000056d1c3c/temperature":      "23125\n",
		"bus/w1/devices/22-000000a1b2c3/temperature":      "112437\n",
		"bus/w1/devices/w1_bus_master1/name":              "w1_bus_master1\n",
		"class/hwmon/hwmon0/name":                         "max31723\n",
		"class/hwmon/hwmon0/temp1_input":                  "112500\n",
		"class/hwmon/hwmon0/temp1_label":                  "pot\n",
		"class/hwmon/hwmon0/temp2_input":                  "0\n",
		"class/hwmon/hwmon0/temp2_fault":                  "1\n",
		"class/hwmon/hwmon0/in0_input":                    "3300\n",
		"bus/iio/devices/iio:device0/name":                "max31855\n",
		"bus/iio/devices/iio:device0/in_temp_raw":         "451\n",
		"bus/iio/devices/iio:device0/in_temp_scale":       "250\n",
		"bus/iio/devices/iio:device0/in_temp_ambient_raw": "385\n",
		"bus/iio/devices/iio:device1/name":                "mlx90614\n",
		"bus/iio/devices/iio:device1/in_temp_object_raw":  "19282\n",
		"bus/iio/devices/iio:device1/in_temp_offset":      "-13657.5\n",
		"bus/iio/devices/iio:device1/in_temp_scale":       "20\n",
		"bus/iio/devices/iio:device2/name":                "tsys01\n",
		"bus/iio/devices/iio:device2/in_temp_input":       "112400\n",
		"bus/iio/devices/iio:device2/in_temp_raw":         "1\n",
		"bus/iio/devices/iio:device2/in_pressure_input":   "101\n",
	})
}

func TestFind(t *testing.T) {
	all, err := Find(machine(t))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]struct {
		c     probe.Celsius
		fault probe.Fault
		label string
	}{
		"w1:28-0000056d1c3c":        {c: 23.125},
		"w1:22-000000a1b2c3":        {c: 112.437},
		"hwmon:max31723/temp1":      {c: 112.5, label: "pot"},
		"hwmon:max31723/temp2":      {fault: probe.FaultOpen},
		"iio:max31855/temp":         {c: 112.75}, // 451 · 250
		"iio:max31855/temp_ambient": {c: 96.25},  // shares the scale
		"iio:mlx90614/temp_object":  {c: 112.49}, // (19282 − 13657.5) · 20
		"iio:tsys01/temp":           {c: 112.4},  // scaled wins over raw
	}
	if len(all) != len(want) {
		t.Errorf("%d sensors, want %d: %+v", len(all), len(want), all)
	}
	for _, s := range all {
		w, ok := want[s.ID]
		if !ok {
			t.Errorf("unexpected sensor %q", s.ID)
			continue
		}
		a, err := s.read()
		if err != nil || a.Fault != w.fault || w.fault == probe.FaultNone && (a.C-w.c > 1e-9 || w.c-a.C > 1e-9) {
			t.Errorf("%s: %+v, %v; want %+v", s.ID, a, err, w)
		}
		if s.Label != w.label {
			t.Errorf("%s: label %q, want %q", s.ID, s.Label, w.label)
		}
	}
	if none, err := Find(t.TempDir()); len(none) > 0 || err != nil {
		t.Errorf("on a machine without sensors: %v, %v", none, err)
	}
}

// Two chips of a kind keep names of their own, by where they sit.
func TestFind_twins(t *testing.T) {
	root := tree(t, map[string]string{
		"devices/i2c-1/1-0018/hwmon/hwmon1/name":        "mcp9808\n",
		"devices/i2c-1/1-0018/hwmon/hwmon1/temp1_input": "24000\n",
		"devices/i2c-1/1-0019/hwmon/hwmon0/name":        "mcp9808\n",
		"devices/i2c-1/1-0019/hwmon/hwmon0/temp1_input": "112000\n",
		"class/hwmon/.keep":                             "",
	})
	for chip, seat := range map[string]string{"hwmon1": "1-0018", "hwmon0": "1-0019"} {
		dir := filepath.Join(root, "devices/i2c-1", seat, "hwmon", chip)
		if err := os.Symlink("../../../"+seat, filepath.Join(dir, "device")); err != nil {
			t.Skip(err)
		}
		if err := os.Symlink(dir, filepath.Join(root, "class/hwmon", chip)); err != nil {
			t.Skip(err)
		}
	}
	all, err := Find(root)
	if err != nil || len(all) != 2 || all[0].ID != "hwmon:mcp9808/temp1@1-0018" || all[1].ID != "hwmon:mcp9808/temp1@1-0019" {
		t.Errorf("%+v, %v", all, err)
	}
}

func TestParseW1(t *testing.T) {
	s := Sensor{ID: "w1:28-1", Max: w1Max}
	for _, row := range []struct {
		name, text string
		c          probe.Celsius
		fault      probe.Fault
	}{
		{"good", "72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125", 23.125, 0},
		{"check byte wrong", "72 01 4b 46 7f ff 0e 10 56 : crc=57 NO\n72 01 4b 46 7f ff 0e 10 56 t=23125", 0, probe.FaultGarbled},
		{"driver says no", "72 01 4b 46 7f ff 0e 10 57 : crc=57 NO\n72 01 4b 46 7f ff 0e 10 57 t=23125", 0, probe.FaultGarbled},
		{"power-on", "50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000", 85, probe.FaultPowerOn},
		{"pulled out", "ff ff ff ff ff ff ff ff ff : crc=c9 NO\nff ff ff ff ff ff ff ff ff t=-62", 0, probe.FaultOpen},
		{"line held down", "00 00 00 00 00 00 00 00 00 : crc=00 YES\n00 00 00 00 00 00 00 00 00 t=0", 0, probe.FaultShort},
		{"cut short", "72 01 4b 46", 0, probe.FaultGarbled},
		{"nothing", "", 0, probe.FaultGarbled},
		{"no number", "72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 t=", 0, probe.FaultGarbled},
	} {
		if a := s.parseW1(row.text); a.C != row.c && row.fault == probe.FaultNone || a.Fault != row.fault {
			t.Errorf("%s: %+v, want %v, %q", row.name, a, row.c, row.fault)
		}
	}
	if a := s.milli(125000, ""); a.Fault != probe.FaultOverRange {
		t.Errorf("at the end of its range: %+v", a)
	}
}

func TestFailed(t *testing.T) {
	for _, err := range []error{syscall.EIO, syscall.EAGAIN} {
		if a, err := failed("", err); err != nil || a.Fault != probe.FaultReported {
			t.Errorf("a driver without an answer: %+v, %v", a, err)
		}
	}
	for _, err := range []error{syscall.ENODEV, os.ErrNotExist, os.ErrPermission} {
		if _, err := failed("", err); err == nil {
			t.Error("a sensor out of reach is taken for a fault of the probe")
		}
	}
}

func TestRefuseMelt(t *testing.T) {
	if why, refused := (Sensor{ID: "w1:28-1", Max: w1Max}).RefuseMelt(); !refused || !strings.Contains(why, "125 °C") {
		t.Errorf("%q, %v", why, refused)
	}
	if why, refused := (Sensor{ID: "hwmon:x/temp1"}).RefuseMelt(); refused || why != "" {
		t.Errorf("a sensor of unknown range is refused: %q", why)
	}
}

func TestNew(t *testing.T) {
	for _, id := range []string{"", "w1", "w1:", "usb:x", "28-000"} {
		if _, err := New(Settings{ID: id}); err == nil {
			t.Errorf("%q is taken for a sensor", id)
		}
	}
}

// The sensor is pulled out and put back: its number changes, its name stays.
func TestRun(t *testing.T) {
	root := machine(t)
	dir := filepath.Join(root, "bus/w1/devices/28-0000056d1c3c")
	synctest.Test(t, func(t *testing.T) {
		src, err := New(Settings{ID: "w1:28-0000056d1c3c", Root: root})
		if err != nil {
			t.Fatal(err)
		}
		time.AfterFunc(2500*time.Millisecond, func() { os.Rename(dir, root+"/away") })
		time.AfterFunc(4500*time.Millisecond, func() { os.Rename(root+"/away", dir) })
		var words []string
		for _, e := range probetest.Watch(t, src, 7500*time.Millisecond) {
			switch {
			case e.Link == probe.LinkUp && strings.Contains(e.Note, "melts at"):
				words = append(words, "up with a warning")
			case e.Link == probe.LinkUp:
				words = append(words, "up")
			case e.Link == probe.LinkLost && e.Reading.Fault == probe.FaultGone && strings.Contains(e.Note, "there is no sensor"):
				words = append(words, "lost")
			case e.HasReading && e.Reading.C == 23.125 && e.Reading.Fault == probe.FaultNone:
				words = append(words, "23")
			default:
				t.Errorf("unexpected event %+v", e)
			}
		}
		want := "up with a warning 23 23 23 lost up 23 23"
		if s := strings.Join(words, " "); !strings.HasPrefix(s, want) {
			t.Errorf("events %q, want %q", s, want)
		}
	})
}

var _ poll.Conn = conn{}

// FuzzParseW1: whatever the kernel's file holds, no panic, and no value without
// a sound check sum.
func FuzzParseW1(f *testing.F) {
	f.Add("72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n")
	f.Add("YES\nt=")
	f.Fuzz(func(t *testing.T, all string) {
		a := Sensor{ID: "w1:28-1", bus: "w1", Max: w1Max}.parseW1(all)
		if a.Fault == probe.FaultNone && (!strings.Contains(all, "YES") || !(a.C >= -55 && a.C <= 125)) {
			t.Fatalf("%q gives %v", all, a.C)
		}
	})
}
