package main

import (
	"math"
	"strings"
	"testing"

	"boildown/probe/port"
	"boildown/sessions"
)

// FuzzValues: whatever is typed behind a flag is a finite number within the
// flag's bounds, or is refused in words that are fit for a terminal.
func FuzzValues(f *testing.F) {
	for _, s := range []string{
		"1600m", "5280ft", "954.6hPa", "28.2inHg", "600W", "0.6kW", "235F", "112.8 °C", "F", "12", "2026-03-14", "chewy",
		"1 1/2 cups", "2 qt", "1/0 lb", "1e308kg", "-1 g", "6 1/2 in", "nanm", "infhPa", "0x1p9kW", "\x1b[2J", "", "½ cup", "pull",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		within := func(what string, v float64, err error, low, high float64) {
			t.Helper()
			if err != nil {
				if bad := raw(oneLine(err.Error())); bad != "" {
					t.Errorf("the error of %s holds %s", what, bad)
				}
			} else if !(v >= low && v <= high) {
				t.Errorf("%s of %q is %v, want %v to %v", what, s, v, low, high)
			}
		}
		v, err := parseAltitude(s)
		within("altitude", v, err, -450, 5500)
		v, err = parsePressure(s)
		within("pressure", v, err, 50e3, 110e3)
		v, err = parsePower(s)
		within("power", v, err, 50, 20e3)
		n, err := parsePieces(s)
		within("pieces", float64(n), err, 1, 10_000)
		c, err := potTemp(s)
		within("temperature", float64(c), err, 0, 250)
		d, err := smallDelta(s)
		within("difference", float64(d), err, 0, 50)
		level, err := sessions.TextureFor(s)
		within("texture", float64(level), err, 1, 7)
		for what, parse := range map[string]func(string) (float64, error){"volume": parseVolume, "mass": parseMass, "width": parseWidth} {
			v, err := parse(s)
			within(what, v, err, 0, math.MaxFloat64)
		}
		v, _, err = parseAmount(s, 1)
		within("amount", v, err, 0, math.MaxFloat64)
		u, err := parseUnit(s)
		within("unit", float64(u), err, 0, 1)
		_, err = parseDayAfter(s)
		within("day", 0, err, 0, 0)
		_, err = parseAlign(s)
		within("alignment", 0, err, 0, 0)
	})
}

// FuzzProbeName: whatever a probe is called, its name opens a source or is
// refused, and a password in it is repeated nowhere.
func FuzzProbeName(f *testing.F) {
	for _, s := range []string{
		"-", "/dev/ttyUSB0", "usb:2341:0043", "w1:28-0000056d1c3c", "hwmon:../../etc/passwd", "hidraw:413D:2107?offset=2&scale=0.01",
		"hidraw:/dev/hidraw3?offset=-1&width=99&scale=nan", "scpi://[::1]:5025/?query=READ?", "scpi:/dev/ttyUSB0?every=1h&field=0",
		"modbus://bench?register=30001&scale=1e999", "modbus:usb:0403:6001?register=input:0x10&type=float32&order=CDAB&address=300",
		"mqtt://bench/kitchen/#", "mqtts://[::/pot", "mqtt://bench/pot?version=6", "room=field:2,air=key:t", "a=b=c,=,", "\x1b[2J", "scpi:5/:?qui://", "mqtts://",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if strings.Contains(name, "ca=") || strings.Contains(name, "%") {
			return // it would read a file that the person names
		}
		const secret = "h0t-sug4r"
		names := []string{name}
		if scheme, rest, ok := strings.Cut(name, "://"); ok && (scheme == "mqtt" || scheme == "mqtts") {
			names = append(names, scheme+"://cook:"+secret+"@"+rest)
		}
		for _, name := range names {
			src, ok, err := openScheme(name, port.Settings{}, strings.NewReader(""))
			if (src != nil) && (!ok || err != nil) {
				t.Errorf("%q opens %T with the error %v", name, src, err)
			}
			if err != nil {
				if bad := raw(oneLine(err.Error())); bad != "" {
					t.Errorf("the error holds %s", bad)
				}
				if strings.Contains(err.Error(), secret) {
					t.Errorf("the error of %q says the password: %v", name, err)
				}
			}
		}
		flags := sourceFlags{probe: "/dev/ttyACM0", also: name}
		if _, err := flags.withSides(fewLines{}); err != nil {
			if bad := raw(oneLine(err.Error())); bad != "" {
				t.Errorf("the error of --also holds %s", bad)
			}
		}
	})
}
