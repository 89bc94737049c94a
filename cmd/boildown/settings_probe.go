package main

import (
	"fmt"
	"maps"
	"os"
	"regexp"
	"slices"
	"time"
)

// probeName is what a probe can be called: nothing that is also an address.
var probeName = regexp.MustCompile(`^[a-z][a-z0-9-]{0,30}$`)

// serialName is a port's name on Windows, which would pass for a probe's.
var serialName = regexp.MustCompile(`^com[0-9]+$`)

func probeNameTrouble(name string) string {
	switch {
	case name == "sim" || serialName.MatchString(name):
		return fmt.Sprintf("%q is an address, not a name", name)
	case !probeName.MatchString(name):
		return fmt.Sprintf("%q is no name for a probe: take small letters, digits and hyphens", name)
	}
	return ""
}

// misnamed is the error of an address that looks like a name that the settings
// do not know, nil for all others.
func (s *settings) misnamed(address string) error {
	if len(s.probes) == 0 || !probeName.MatchString(address) || address == "sim" || serialName.MatchString(address) || s.probes[address] != nil {
		return nil
	}
	if _, err := os.Stat(address); err == nil {
		return nil
	}
	return usagef(didYouMean(address, slices.Sorted(maps.Keys(s.probes))), "the settings know no probe %q", address)
}

// probe reads the table of one probe.
func (r *settingsReader) probe(s *settings, name string, is any) {
	at := func(key ...string) []string { return append([]string{"probe", name}, key...) }
	table, ok := is.(map[string]any)
	if !ok {
		r.wrong(at(), "write a table for each probe: [probe.kettle]", "a table with a probe's name is wanted here")
		return
	}
	if why := probeNameTrouble(name); why != "" {
		r.wrong(at(), "name it like [probe.kettle]", "%s", why)
		return
	}
	p := &namedProbe{name: name, values: map[string]setting{}, line: max(lineOf(r.text, at("address")...), 1)}
	s.probes[name] = p
	p.address, _ = table["address"].(string)
	if p.address == "" {
		r.wrong(at("address"), `address = "/dev/ttyUSB0", or what boildown probes shows`, "nothing says where the probe is")
	}
	for _, key := range slices.Sorted(maps.Keys(table)) {
		switch {
		case key == "address":
		case key == "calibration":
			p.cal = r.calibration(at(key), table[key])
		case key == boiledKey:
			p.boiled = r.date(at(key), table[key])
		case slices.Contains(r.source, key):
			if v, ok := r.value(at(key), key, table[key]); ok {
				p.values[key] = v
			}
		default:
			r.wrong(at(key), r.likeliest(key), "this key means nothing here")
		}
	}
}

// boiledKey dates a probe's water-boils: the weather moves it.
const boiledKey = "water-boils-on"

// likeliest is the remedy for an unknown key in a probe's table.
func (r *settingsReader) likeliest(key string) string {
	other := map[string]string{"unit": "probe-unit", "path": "address", "port": "address", "usb": "address", "channel": "field", "speed": "baud"}
	if o := other[key]; o != "" {
		return fmt.Sprintf("did you mean %q?", o)
	}
	return didYouMean(key, append([]string{"address", "calibration", boiledKey}, r.source...))
}

// date reads a day, with or without quotes.
func (r *settingsReader) date(key []string, is any) time.Time {
	switch d := is.(type) {
	case time.Time:
		return time.Date(d.Year(), d.Month(), d.Day(), 0, 0, 0, 0, time.Local)
	case string:
		if t, err := time.ParseInLocation(time.DateOnly, d, time.Local); err == nil {
			return t
		}
	}
	r.wrong(key, "write it like "+key[len(key)-1]+" = 2026-11-25", "a date is wanted here")
	return time.Time{}
}
