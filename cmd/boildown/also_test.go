package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/port"
	"boildown/sessions"
)

func (m *memory) Side(string, probe.Reading) {}

// One line holds pot and room: the pot's readings are folded, the room's are
// kept and shown, and neither is ever the other's.
func TestAlso(t *testing.T) {
	lines := ""
	for range 40 {
		lines += "112.4;23.5\n"
	}
	f := sourceFlags{probe: "-", field: 1, sep: ";", also: "room=field:2"}
	src, err := f.withSides(port.NewStream(strings.NewReader(lines), "a test", f.format()))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	rec, err := sessions.Create(dir, sessions.Header{Start: time.Now(), Config: freshConfig()})
	if err != nil {
		t.Fatal(err)
	}
	p := newPump(newClock(uptime, 0, 1), plateau.Start(freshConfig()), 0, rec, probe.UnitC)
	if err := src.Run(t.Context(), p.clock.now, p.event); err != nil {
		t.Fatal(err)
	}
	if s := p.Snapshot(); len(s.Sides) != 1 || s.Sides[0].Words(probe.UnitC) != "room 23.5 °C" || s.Advice.Now != 112.4 {
		t.Errorf("shown %+v beside %v", s.Sides, s.Advice.Now)
	}
	if err := rec.Close(p.sum); err != nil {
		t.Fatal(err)
	}
	kept, err := sessions.Read(rec.Path())
	if err != nil {
		t.Fatal(err)
	}
	pot, room := 0, 0
	for in := range kept.Inputs() {
		if in.Kind == plateau.Measured && in.Fault == probe.FaultNone {
			pot++
			if in.C != 112.4 {
				t.Errorf("the pot is %v on record", in.C)
			}
		}
	}
	for r := range kept.Sides() {
		room++
		if r.Text != "room" || r.Side.C != 23.5 || r.Side.Fault != probe.FaultNone {
			t.Errorf("the room is %+v on record", r)
		}
	}
	if pot != 40 || room != 1 { // one a second is enough for a room
		t.Errorf("%d readings of the pot and %d of the room on record", pot, room)
	}
}

func TestAlso_refuses(t *testing.T) {
	for _, also := range []string{"room", "room=", "=field:2", "room=field:0", "room=field:x", "room=key:", "room=field:2,room=field:3", "pot=field:2", "a b=field:2", "second=-", "room=/dev/pot"} {
		f := sourceFlags{probe: "/dev/pot", also: also, baud: port.DefaultBaud}
		if _, err := f.withSides(nil); err == nil {
			t.Errorf("--also %q has no objection", also)
		}
	}
}

// A second probe that is not there neither ends the batch nor says anything of
// the pot's link.
func TestAlso_anotherProbe(t *testing.T) {
	f := sourceFlags{probe: "-", also: "second=" + filepath.Join(t.TempDir(), "none"), baud: port.DefaultBaud, frame: "8N1"}
	src, err := f.withSides(port.NewStream(strings.NewReader("112.4\n"), "a test", probe.Format{}))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	if err := src.Run(ctx, uptime, func(e probe.Event) {
		if e.Channel != "" && e.Link != probe.LinkSame {
			t.Errorf("event %+v", e)
		}
	}); err != nil {
		t.Fatal(err)
	}
}

// A tree as the kernel's documentation of 1-wire thermometers has it
// (Documentation/w1/slaves/w1_therm.rst).
func TestRefuseMelt(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "bus", "w1", "devices", "28-0000056d1c3c")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "w1_slave"), []byte("72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	const name = "w1:28-0000056d1c3c"
	if err := refuseMelt(name, root, false); err == nil || !strings.Contains(err.Error(), "up to 125 °C") {
		t.Errorf("a sensor that ends at 125 °C: %v", err)
	}
	for _, ok := range []error{refuseMelt(name, root, true), refuseMelt("/dev/ttyUSB0", root, false), refuseMelt("hwmon:max/temp1", root, false)} {
		if ok != nil {
			t.Error(ok)
		}
	}
}
