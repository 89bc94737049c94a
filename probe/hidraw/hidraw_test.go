package hidraw

import (
	"context"
	"io"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
)

func TestLayout_read(t *testing.T) {
	report := []byte{0x04, 0x20, 0x2c, 0x01, 0xff, 0x04, 0x6a, 0x80, 0x00, 0xce, 0xff}
	for _, row := range []struct {
		name  string
		l     Layout
		want  probe.Celsius
		fault probe.Fault
	}{
		{"little-endian tenths", Layout{Offset: 2, Scale: 0.1}, 30, 0}, // 012c = 300
		{"big-endian tenths", Layout{Offset: 5, Big: true, Scale: 0.1}, 113, 0},
		{"tenths of °F", Layout{Offset: 5, Big: true, Scale: 0.1, Unit: probe.UnitF}, probe.Fahrenheit(113), 0},
		{"one byte with an addend", Layout{Offset: 1, Width: 1, Add: -40}, -8, 0},
		{"one byte, signed", Layout{Offset: 9, Width: 1}, -50, 0},
		{"negative", Layout{Offset: 9, Scale: 0.1}, -5, 0},
		{"three bytes", Layout{Offset: 1, Width: 3, Scale: 0.001}, 76.832, 0}, // 012c20
		{"four bytes", Layout{Offset: 2, Width: 4, Unsigned: true, Scale: 1e-6}, 83.820844, 0},
		{"lowest number", Layout{Offset: 7, Big: true, Scale: 0.01}, 0, probe.FaultOpen},
		{"highest number", Layout{Offset: 4, Width: 1, Unsigned: true}, 0, probe.FaultOpen},
		{"wrong place", Layout{Offset: 5, Big: true}, 0, probe.FaultImpossible},
		{"report too short", Layout{Offset: 10}, 0, probe.FaultGarbled},
	} {
		c, fault := row.l.read(report)
		if fault != row.fault || fault == probe.FaultNone && math.Abs(float64(c-row.want)) > 1e-9 {
			t.Errorf("%s: %v, %q; want %v, %q", row.name, c, fault, row.want, row.fault)
		}
	}
}

func TestOptions(t *testing.T) {
	q, _ := url.ParseQuery("report=0x04&offset=2&width=4&order=big&sign=no&scale=0.01&add=-40&unit=F&ask=0180330100000000")
	var l Layout
	if err := l.Options(q); err != nil {
		t.Fatal(err)
	}
	if l.Report != 4 || l.Offset != 2 || l.Width != 4 || !l.Big || !l.Unsigned || l.Scale != 0.01 || l.Add != -40 || l.Unit != probe.UnitF || len(l.Ask) != 8 {
		t.Errorf("%+v", l)
	}
	for _, bad := range []string{"", "width=2", "offset=-1", "offset=5000", "offset=1&width=5", "offset=1&order=middle", "offset=1&sign=maybe",
		"offset=1&unit=K", "offset=1&ask=0", "offset=1&report=256", "offset=1&scale=NaN", "offset=1&bits=3"} {
		q, _ := url.ParseQuery(bad)
		if err := new(Layout).Options(q); err == nil {
			t.Errorf("%q is accepted", bad)
		}
	}
}

// uevent files as the kernel's HID core writes them.
func TestFind(t *testing.T) {
	sys := t.TempDir()
	for node, uevent := range map[string]string{
		"hidraw0": "DRIVER=hid-generic\nHID_ID=0003:0000413D:00002107\nHID_NAME=Maker Thermometer\nHID_PHYS=usb-1/input0\nHID_UNIQ=A1\nMODALIAS=hid:b0003\n",
		"hidraw1": "HID_ID=0005:0000046D:0000B342\nHID_NAME=Keyboard\nHID_UNIQ=\n",
		"hidraw2": "DRIVER=odd\n",
	} {
		dir := filepath.Join(sys, "class", "hidraw", node, "device")
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "uevent"), []byte(uevent), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	all, err := Find(sys)
	if err != nil || len(all) != 2 ||
		all[0] != (Device{"/dev/hidraw0", "413D:2107:A1", "Maker Thermometer"}) || all[1] != (Device{"/dev/hidraw1", "046D:B342", "Keyboard"}) {
		t.Errorf("%+v, %v", all, err)
	}
	for usb, want := range map[string]bool{"413d:2107": true, "413D:2107:A1": true, "413D:2107:B2": false, "413D:210": false, "046D:B342": false} {
		if all[0].is(usb) != want {
			t.Errorf("%v is %s: %v", all[0], usb, !want)
		}
	}
}

// fake sends a report every so often, or for each one written.
type fake struct {
	reports chan []byte
	asked   chan []byte
	closed  chan struct{}
}

func (f *fake) Read(b []byte) (int, error) {
	select {
	case r := <-f.reports:
		return copy(b, r), nil
	case <-f.closed:
		return 0, io.ErrClosedPipe
	}
}

func (f *fake) Write(b []byte) (int, error) {
	f.asked <- b
	return len(b), nil
}

func (f *fake) Close() error {
	select {
	case <-f.closed:
	default:
		close(f.closed)
	}
	return nil
}

func runFake(t *testing.T, life time.Duration, s Settings, play func(f *fake)) (events []probe.Event) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		s.Path = "/dev/hidraw0"
		s.open = func(string) (io.ReadWriteCloser, error) {
			f := &fake{reports: make(chan []byte, 64), asked: make(chan []byte, 1), closed: make(chan struct{})}
			go play(f)
			return f, nil
		}
		src, err := New(s)
		if err != nil {
			t.Fatal(err)
		}
		events = probetest.Watch(t, src, life)
	})
	return events
}

// A device that sends a hundred reports a second is read four times a second,
// and each reading is the newest: none has waited in a queue.
func TestRun_pushing(t *testing.T) {
	start := time.Time{}
	events := runFake(t, 2*time.Second, Settings{Layout: Layout{Report: -1, Offset: 1, Scale: 0.01}}, func(f *fake) {
		start = time.Now()
		for n := 1; ; n++ {
			select {
			case <-f.closed:
				return
			case <-time.After(10 * time.Millisecond):
			}
			centis := int(time.Since(start) / (10 * time.Millisecond))
			select {
			case f.reports <- []byte{1, byte(centis), byte(centis >> 8)}:
			case <-f.closed:
				return
			}
		}
	})
	if len(events) < 8 || len(events) > 10 {
		t.Fatalf("%d events in 2 s", len(events))
	}
	for _, e := range events[1:] {
		if age := e.Reading.At.Seconds() - float64(e.Reading.C); math.Abs(age) > 0.02 {
			t.Errorf("at %v a reading of %v s age", e.Reading.At, age)
		}
	}
}

func TestRun_asking(t *testing.T) {
	events := runFake(t, 1100*time.Millisecond, Settings{Layout: Layout{Report: 2, Offset: 1, Big: true, Scale: 0.1, Ask: []byte{1, 2, 3}}}, func(f *fake) {
		for {
			select {
			case q := <-f.asked:
				if string(q) != "\x01\x02\x03" {
					t.Errorf("asked with % x", q)
				}
				f.reports <- []byte{9, 0xff, 0xff} // another report, to be passed over
				f.reports <- []byte{2, 0x04, 0x6a}
			case <-f.closed:
				return
			}
		}
	})
	if len(events) != 6 || events[0].Link != probe.LinkUp {
		t.Fatalf("%d events: %+v", len(events), events)
	}
	for _, e := range events[1:] {
		if math.Abs(float64(e.Reading.C)-113) > 1e-9 || e.Raw != "02 04 6a" {
			t.Errorf("%+v", e)
		}
	}
}

func TestRun_missing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		src, err := New(Settings{USB: "413D:2107", sys: t.TempDir()})
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		defer cancel()
		var events []probe.Event
		src.Run(ctx, func() time.Duration { return 0 }, func(e probe.Event) { events = append(events, e) })
		if len(events) != 1 || events[0].Link != probe.LinkLost || !strings.Contains(events[0].Note, "plug it in") {
			t.Errorf("%+v", events)
		}
	})
}

// FuzzLayout: whatever a device reports, no panic, and a value only from a
// report that is long enough and within what a probe can show.
func FuzzLayout(f *testing.F) {
	f.Add([]byte{0x80, 0x80, 0x0b, 0x92}, 2, 2, true, 0.01)
	f.Add([]byte{}, 0, 4, false, 1.0)
	f.Fuzz(func(t *testing.T, report []byte, offset, width int, big bool, scale float64) {
		l := Layout{Report: -1, Offset: offset, Width: width, Big: big, Scale: scale}
		if l.check() != nil {
			return
		}
		c, fault := l.read(report)
		if fault != probe.FaultNone {
			return
		}
		if len(report) < offset+l.width() || !(c >= probe.Coldest && c <= probe.Hottest) {
			t.Fatalf("% x by %+v gives %v", report, l, c)
		}
	})
}
