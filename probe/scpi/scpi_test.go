package scpi

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"net"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
)

// instrument answers like one that has the given queries, and has an error
// queue. The exchanges are those that SCPI-1999 and IEEE 488.2 print: *IDN?
// with four fields, NR3 numbers, 0,"No error" and -113,"Undefined header".
func instrument(rw io.ReadWriteCloser, answers map[string]func() string) {
	defer rw.Close()
	var queue []string
	in := bufio.NewScanner(rw)
	for in.Scan() {
		command := strings.TrimSpace(in.Text())
		switch {
		case command == "*IDN?":
			fmt.Fprint(rw, "INVENTED,TEMP-1,0,1.0\n")
		case command == "*CLS":
			queue = nil
		case command == "SYST:ERR?" && len(queue) > 0:
			fmt.Fprint(rw, queue[0]+"\n")
			queue = queue[1:]
		case command == "SYST:ERR?":
			fmt.Fprint(rw, "0,\"No error\"\n")
		default:
			answer, ok := answers[command]
			if !ok {
				queue = append(queue, `-113,"Undefined header"`)
				continue
			}
			if a := answer(); a != "" {
				fmt.Fprint(rw, a+"\n")
			}
		}
	}
}

func always(s string) func() string { return func() string { return s } }

// runFor runs the source against an instrument for a time that passes at once.
func runFor(t *testing.T, life time.Duration, s Settings, answers map[string]func() string) (events []probe.Event) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		s.Name = "bench"
		s.Dial = func(context.Context) (io.ReadWriteCloser, error) {
			ours, theirs := net.Pipe()
			go instrument(theirs, answers)
			return ours, nil
		}
		src, err := New(s)
		if err != nil {
			t.Fatal(err)
		}
		events = probetest.Watch(t, src, life)
		synctest.Wait()
	})
	return events
}

func TestRun(t *testing.T) {
	n := 0
	seq := []string{"+1.12400000E+02", "+1.12500000E+02", "9.9E37", "+9.91000000E+37", "what", "-9.9E37", "+1.12600000E+02"}
	events := runFor(t, 3600*time.Millisecond, Settings{Setup: []string{"CONF:TEMP TC,K"}}, map[string]func() string{
		"CONF:TEMP TC,K": always(""),
		"UNIT:TEMP?":     always("C"),
		"MEAS:TEMP?":     func() string { n++; return seq[min(n, len(seq))-1] },
	})
	want := []struct {
		c     probe.Celsius
		fault probe.Fault
	}{{112.4, 0}, {112.5, 0}, {0, probe.FaultOverRange}, {0, probe.FaultOpen}, {0, probe.FaultGarbled}, {0, probe.FaultOverRange}, {112.6, 0}}
	if len(events) < 1+len(want) || events[0].Link != probe.LinkUp {
		t.Fatalf("events %+v", events)
	}
	for i, w := range want {
		r := events[i+1].Reading
		if math.Abs(float64(r.C-w.c)) > 1e-9 || r.Fault != w.fault {
			t.Errorf("answer %q: %+v, want %v, %q", seq[i], r, w.c, w.fault)
		}
	}
}

func TestRun_unitOfTheInstrument(t *testing.T) {
	for answer, want := range map[string]probe.Celsius{"F": probe.Fahrenheit(235), "K": 235 - 273.15, "CEL": 235, "?": 235} {
		events := runFor(t, time.Second, Settings{}, map[string]func() string{
			"UNIT:TEMP?": always(answer), "MEAS:TEMP?": always("+2.35000000E+02"),
		})
		if len(events) < 2 || math.Abs(float64(events[1].Reading.C-want)) > 1e-9 {
			t.Errorf("unit %s: %+v, want %v", answer, events, want)
		}
	}
}

// An instrument without the unit command is read in the unit that was set.
func TestRun_noUnitCommand(t *testing.T) {
	events := runFor(t, 3*time.Second, Settings{Unit: UnitF, Query: "READ?", Field: 2}, map[string]func() string{
		"READ?": always("+1.0E+00,+2.35E+02,VDC"),
	})
	if len(events) < 2 || math.Abs(float64(events[1].Reading.C-probe.Fahrenheit(235))) > 1e-9 {
		t.Errorf("%+v", events)
	}
}

func TestRun_saysWhatTheInstrumentRefuses(t *testing.T) {
	events := runFor(t, 20*time.Second, Settings{Query: "MEAS:HEAT?"}, map[string]func() string{"UNIT:TEMP?": always("C")})
	if !someNote(events, `refuses "MEAS:HEAT?" with -113, "Undefined header"`) {
		t.Errorf("%+v", events)
	}
	events = runFor(t, 20*time.Second, Settings{Setup: []string{"CONF:HEAT"}}, nil)
	if !someNote(events, `refuses "CONF:HEAT"`) {
		t.Errorf("%+v", events)
	}
}

func someNote(events []probe.Event, part string) bool {
	for _, e := range events {
		if strings.Contains(e.Note, part) {
			return true
		}
	}
	return false
}

// A slow answer must not be taken for the answer to the question after it.
func TestRun_lateAnswer(t *testing.T) {
	var asked atomic.Int32
	events := runFor(t, 20*time.Second, Settings{}, map[string]func() string{
		"UNIT:TEMP?": always("C"),
		"MEAS:TEMP?": func() string {
			n := asked.Add(1)
			if n == 2 {
				time.Sleep(4 * time.Second)
			}
			return fmt.Sprintf("%d", 100+n)
		},
	})
	lost := 0
	for _, e := range events {
		if e.Link == probe.LinkLost {
			lost++
		}
		if e.HasReading && e.Reading.C == 102 {
			t.Error("the answer that came too late is taken for a later one")
		}
	}
	if lost != 1 || events[len(events)-1].Reading.Fault != probe.FaultNone {
		t.Errorf("%d losses, last event %+v", lost, events[len(events)-1])
	}
}

func TestNew_refuses(t *testing.T) {
	dial := TCP("localhost")
	for _, s := range []Settings{{}, {Dial: dial, Query: "MEAS:TEMP"}, {Dial: dial, Query: "A?\nB?"}, {Dial: dial, Setup: []string{"A\r"}}, {Dial: dial, Field: -1}} {
		if _, err := New(s); err == nil {
			t.Errorf("New(%+v) has no objection", s)
		}
	}
}

// FuzzParse: whatever an instrument answers, no panic, and a value only where
// the field is one number within what a probe can show.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"+1.12400000E+02", "9.91E37", "-9.9E37", "23.5,112.4", "", ",", "NaN", "1e999", "0x1p4", "1_0"} {
		f.Add(s, 1)
	}
	f.Fuzz(func(t *testing.T, answer string, field int) {
		if field < 1 {
			field = 1
		}
		for _, u := range []Unit{UnitC, UnitF, UnitK} {
			c, fault := parse(answer, field, u)
			if fault != probe.FaultNone {
				continue
			}
			if !(c >= probe.Coldest && c <= probe.Hottest) {
				t.Fatalf("%q gives %v", answer, c)
			}
			is := strings.TrimSpace(strings.Split(answer, ",")[field-1])
			if is == "" || strings.Trim(is, "+-.0123456789eE") != "" {
				t.Fatalf("%q gives %v of %q", answer, c, is)
			}
		}
	})
}
