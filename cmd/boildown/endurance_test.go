package main

import (
	"context"
	"flag"
	"io"
	"math"
	"runtime"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/probetest"
	"boildown/sessions"
)

// A long cook costs at its end what it cost at its beginning, in memory and in
// time: four channels at 10 Hz, faster than life, through recorder, fold and
// chart.
// Half an hour by default; twelve with -args -endurance.
func TestEndurance(t *testing.T) {
	hours, parts := 0.5, 4
	if *endurance {
		hours, parts = 12, 12
	}
	dir := t.TempDir()
	header := sessions.Header{Start: time.Now(), Config: freshConfig(), Fold: plateau.Version}
	rec, err := sessions.Create(dir, header)
	if err != nil {
		t.Fatal(err)
	}
	now := time.Duration(0)
	p := newPump(newClock(func() time.Duration { return now }, 0, 1), plateau.Start(header.Config), 0, rec, probe.UnitF)
	sides := []string{"room", "hob", "jug"}
	each := int(hours*36_000) / parts
	var first uint64
	for part := range parts {
		began := time.Now()
		for i := range each {
			now += 100 * time.Millisecond
			n := part*each + i
			c := 104 + 14*math.Abs(math.Sin(float64(n)/9000)) + 0.05*math.Sin(float64(n)) // through the target and back, again and again
			p.event(probe.Event{HasReading: true, Reading: probe.Reading{At: now, C: probe.Celsius(c)}})
			for i, name := range sides {
				p.event(probe.Event{Channel: name, HasReading: true, Reading: probe.Reading{At: now, C: probe.Celsius(20*i + n%10)}})
			}
			if n%3000 == 0 {
				rec.Flush(time.Minute) // life would have left the disk its time
			}
		}
		took := time.Since(began)
		rec.Flush(time.Minute)
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		t.Logf("after %5.2f h: heap %5.1f MB, %5.2f µs a reading", now.Hours(), float64(m.HeapAlloc)/(1<<20), took.Seconds()*1e6/float64(each))
		if part == 0 {
			first = m.HeapAlloc
		} else if m.HeapAlloc > first+8<<20 {
			t.Errorf("the heap grew from %d to %d KB", first>>10, m.HeapAlloc>>10)
		}
	}
	if err := rec.Close(p.sum); err != nil {
		t.Fatal(err)
	}
	s, err := sessions.Read(rec.Path())
	if err != nil {
		t.Fatal(err)
	}
	beside := 0
	for range s.Sides() {
		beside++
	}
	if want := len(sides) * int(hours*3600); beside < want || beside > want+len(sides) {
		t.Errorf("%d readings of the other channels on record, want %d", beside, want)
	}
	prompts := 0
	for range s.Prompts() {
		prompts++
	}
	if got := s.Summary.Readings; got != parts*each || prompts > 60*int(math.Ceil(hours)) {
		t.Errorf("%d readings and %d prompts on record, want %d and at most one a minute", got, prompts, parts*each)
	}
	t.Logf("%d prompts in the file", prompts)
}

// While the machine sleeps its uptime goes on: the silence is told for the
// whole of it, at once, and the next reading stands where it belongs.
func TestPumpAfterSleep(t *testing.T) {
	m := &memory{}
	now := time.Duration(0)
	p := newPump(newClock(func() time.Duration { return now }, 0, 1), plateau.Start(freshConfig()), 0, m, probe.UnitF)
	read := func(c float64) {
		p.event(probe.Event{HasReading: true, Reading: probe.Reading{At: p.clock.now(), C: probe.Celsius(c)}})
	}
	read(104)
	now += 3 * time.Hour
	read(104.1)
	if n := len(m.at(plateau.Silent)); n != 3*720-1 && n != 3*720 {
		t.Errorf("%d silences over three hours, want one for each 5 s", n)
	}
	last := m.inputs[len(m.inputs)-1]
	if last.Kind != plateau.Measured || last.At != 3*time.Hour {
		t.Errorf("the last input is %+v, want the reading at 3h", last)
	}
}

// A cook leaves no goroutine and no descriptor behind, however it ends.
func TestCookLeavesNothingOpen(t *testing.T) {
	cookOnce := func(src source) {
		header := sessions.Header{Start: time.Now(), Config: freshConfig(), Fold: plateau.Version}
		dir := t.TempDir()
		rec, err := sessions.Create(dir, header)
		if err != nil {
			t.Fatal(err)
		}
		b := &batch{header: header.Stored(), state: plateau.Start(header.Config), rec: rec, dir: dir, source: src, alert: []string{"true"}}
		flags := &cookFlags{}
		flags.source.speed = 1
		report(io.Discard, newKitchen(t.Context(), b, flags, nil, io.Discard).cook(io.Discard))
	}
	cookOnce(fewLines{}) // opens what stays open for good
	probetest.LeavesNothing(t)
	for range 5 {
		cookOnce(fewLines{})
	}
}

// fewLines is a source that ends by itself.
type fewLines struct{}

func (fewLines) Run(_ context.Context, now func() time.Duration, emit func(probe.Event)) error {
	for c := range 20 {
		emit(probe.Event{HasReading: true, Reading: probe.Reading{At: now(), C: probe.Celsius(100 + c)}})
	}
	return nil
}

var endurance = flag.Bool("endurance", false, "TestEndurance runs twelve hours")
