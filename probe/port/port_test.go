package port

import (
	"errors"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
)

// fake is a port that reads as it is told.
type fake struct{ read func([]byte) (int, error) }

func (f *fake) Read(b []byte) (int, error)  { return f.read(b) }
func (f *fake) Write(b []byte) (int, error) { return len(b), nil }
func (f *fake) Close() error                { return nil }

// runFake runs a port for a time that passes at once.
func runFake(t *testing.T, life time.Duration, open func(string) (device, error)) (events []probe.Event) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		p, err := New(Settings{Path: "the cable"})
		if err != nil {
			t.Fatal(err)
		}
		p.open = open
		p.find.list = func() ([]Found, error) { return nil, nil }
		events = probetest.Watch(t, p, life)
	})
	return events
}

func TestRun_retriesWithoutHurry(t *testing.T) {
	tries := 0
	events := runFake(t, time.Minute, func(string) (device, error) {
		tries++
		return nil, openError("the cable", errors.New("odd"))
	})
	if tries < 50 || tries > 70 {
		t.Errorf("%d attempts in a minute, want about one a second", tries)
	}
	if len(events) != 1 {
		t.Errorf("%d events for one lasting trouble: %+v", len(events), events)
	}
}

// A port that opens and fails at once must not be opened in a tight loop.
func TestRun_flapping(t *testing.T) {
	tries := 0
	runFake(t, time.Minute, func(string) (device, error) {
		tries++
		return &fake{func([]byte) (int, error) { return 0, errors.New("gone") }}, nil
	})
	if tries > 70 {
		t.Errorf("%d attempts in a minute", tries)
	}
}

// A driver that reads nothing, at once and for ever, counts as a lost probe.
func TestRun_emptyReads(t *testing.T) {
	reads := 0
	events := runFake(t, time.Minute, func(string) (device, error) {
		return &fake{func([]byte) (int, error) { reads++; return 0, nil }}, nil
	})
	if reads > 70*60 {
		t.Errorf("%d reads in a minute: a busy loop", reads)
	}
	if len(events) < 2 || events[1].Link != probe.LinkLost {
		t.Errorf("events %+v, want the loss told", events)
	}
}

func TestRun_silence(t *testing.T) {
	events := runFake(t, 30*time.Second, func(string) (device, error) {
		return &fake{func([]byte) (int, error) { time.Sleep(readTimeout); return 0, nil }}, nil
	})
	if len(events) != 2 || events[0].Link != probe.LinkUp || !strings.Contains(events[1].Note, "nothing has come") {
		t.Errorf("events %+v, want the link and one note of silence", events)
	}
}

func TestNew_refuses(t *testing.T) {
	for _, s := range []Settings{
		{}, {USB: "arduino"}, {USB: "2341"}, {USB: "2341:00"}, {Path: "x", Baud: -1}, {Path: "x", Baud: 7},
		{Path: "x", Frame: "9N1"}, {Path: "x", Frame: "8X1"}, {Path: "x", Frame: "8N3"}, {Path: "x", Frame: "8"},
	} {
		if _, err := New(s); err == nil {
			t.Errorf("New(%+v) has no objection", s)
		}
	}
	for _, s := range []Settings{{Path: "x"}, {USB: "2341:0043"}, {USB: "0403:6001:A:B"}, {Path: "x", Baud: 1200, Frame: "7e1"}, {Path: "x", Frame: "8O2"}} {
		if _, err := New(s); err != nil {
			t.Errorf("New(%+v): %v", s, err)
		}
	}
}

func TestFinder(t *testing.T) {
	a := Found{Path: "/dev/ttyUSB0", USB: "0403:6001:A1"}
	b := Found{Path: "/dev/ttyUSB1", USB: "0403:6001:B2"}
	plain := Found{Path: "/dev/ttyS0"}
	for _, row := range []struct {
		name  string
		set   Settings
		ports []Found
		want  string
		err   error
	}{
		{"by serial number", Settings{USB: "0403:6001:b2"}, []Found{plain, a, b}, "/dev/ttyUSB1", nil},
		{"by vendor and product", Settings{USB: "0403:6001"}, []Found{plain, a}, "/dev/ttyUSB0", nil},
		{"two alike", Settings{USB: "0403:6001"}, []Found{a, b}, "", ErrAlike},
		{"not there", Settings{USB: "2341:0043"}, []Found{a, b}, "", ErrNotFound},
		{"by path", Settings{Path: "/dev/pts/9"}, []Found{a}, "/dev/pts/9", nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			f, err := newFinder(row.set)
			if err != nil {
				t.Fatal(err)
			}
			f.list = func() ([]Found, error) { return row.ports, nil }
			got, err := f.path()
			if got != row.want || !errors.Is(err, row.err) {
				t.Errorf("path %q, %v; want %q, %v", got, err, row.want, row.err)
			}
		})
	}
}

// Every trouble has its remedy on every system.
func TestError_remedies(t *testing.T) {
	for _, kind := range []error{ErrNotFound, ErrDenied, ErrBusy, ErrNotSerial, ErrSettings, ErrGone, ErrAlike, ErrOther} {
		for _, system := range []string{"linux", "darwin", "windows", "freebsd", "openbsd"} {
			e := &Error{Op: "open", Path: "x", Kind: kind, Cause: errors.New("why")}
			if e.remedy(system) == "" || strings.ContainsAny(e.Error()+e.remedy(system), "\n") {
				t.Errorf("%v on %s: %q: %q", kind, system, e.Error(), e.remedy(system))
			}
		}
	}
	e := &Error{Op: "open", Path: "/dev/ttyUSB0", Kind: ErrDenied, group: "uucp"}
	if got := e.remedy("linux"); !strings.Contains(got, "usermod -aG uucp") {
		t.Errorf("remedy names no group: %q", got)
	}
}
