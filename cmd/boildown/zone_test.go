package main

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones are not on every machine

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

// Batches that begin where the clocks change have names of their own, stand in
// the order in which they were cooked, and are shown at the time that the
// kitchen's clock showed. Clocks by Directive 2000/84/EC, articles 2 and 3: to
// and from summer time at 1:00 UTC on the last Sunday of March and October.
func TestBatchesWhereTheClocksChange(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	defer func(was *time.Location) { time.Local = was }(time.Local)
	time.Local = berlin
	utc := func(month time.Month, day, hour, minute, second int) time.Time {
		return time.Date(2026, month, day, hour, minute, second, 0, time.UTC)
	}
	begun := []struct {
		at    time.Time
		clock string // on the kitchen's wall
		zoned string
	}{
		{utc(time.March, 29, 0, 59, 59), "2026-03-29 01:59", "2026-03-29T01:59:59+01:00"},
		{utc(time.March, 29, 1, 0, 0), "2026-03-29 03:00", "2026-03-29T03:00:00+02:00"},
		{utc(time.October, 24, 22, 5, 0), "2026-10-25 00:05", "2026-10-25T00:05:00+02:00"},
		{utc(time.October, 25, 0, 30, 0), "2026-10-25 02:30", "2026-10-25T02:30:00+02:00"},
		{utc(time.October, 25, 1, 30, 0), "2026-10-25 02:30", "2026-10-25T02:30:00+01:00"}, // the same hour again
		{utc(time.October, 25, 1, 30, 0), "2026-10-25 02:30", "2026-10-25T02:30:00+01:00"}, // two pots at once
		{utc(time.October, 25, 22, 55, 0), "2026-10-25 23:55", "2026-10-25T23:55:00+01:00"},
	}
	dir := t.TempDir()
	mixed := slices.Clone(begun)
	slices.Reverse(mixed) // the order in which the files are made says nothing
	for _, b := range mixed {
		rec, err := sessions.Create(dir, sessions.Header{Start: b.at.In(berlin), Recipe: b.zoned, Config: freshConfig(), Fold: plateau.Version})
		if err != nil {
			t.Fatal(err)
		}
		rec.Input(plateau.Input{Kind: plateau.Measured, At: time.Second, C: probe.Celsius(100)})
		if err := rec.Close(sessions.Summary{}); err != nil {
			t.Fatal(err)
		}
	}
	shelf := func(args ...string) []string {
		var out, errOut bytes.Buffer
		if status := run(t.Context(), append([]string{"sessions", "--config", "none", "--dir", dir}, args...), nil, &out, &errOut); status != 0 {
			t.Fatalf("%v: %s", args, errOut.String())
		}
		return strings.Split(strings.TrimSpace(out.String()), "\n")
	}
	table := shelf()[1:]
	slices.Reverse(table) // the newest stands first
	if len(table) != len(begun) {
		t.Fatalf("%d batches on the shelf of %d", len(table), len(begun))
	}
	for i, line := range table {
		if !strings.Contains(line, "  "+begun[i].clock+"  ") || !strings.Contains(line, begun[i].zoned) {
			t.Errorf("line %d is %q, want the batch of %s (%s)", i, line, begun[i].clock, begun[i].zoned)
		}
	}
	var all []struct {
		Name  string
		Begun time.Time
	}
	if err := json.Unmarshal([]byte(strings.Join(shelf("--json"), "\n")), &all); err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for i, b := range all {
		names[b.Name] = true
		if want := begun[len(begun)-1-i].at; !b.Begun.Equal(want) {
			t.Errorf("batch %d began at %v, want %v", i, b.Begun, want)
		}
	}
	if len(names) != len(begun) {
		t.Errorf("names %v", names)
	}
	// A day is the kitchen's, be it of 23 hours or of 25.
	if day := shelf("--from", "2026-10-25", "--to", "2026-10-25"); len(day) != 1+5 {
		t.Errorf("on the long day %q", day)
	}
	if day := shelf("--from", "2026-03-29", "--to", "2026-03-29"); len(day) != 1+2 {
		t.Errorf("on the short day %q", day)
	}
}
