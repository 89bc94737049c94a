//go:build unix

package port

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
	"golang.org/x/sys/unix"
)

// watched is a running port whose events a test waits for.
type watched struct {
	t      *testing.T
	events chan probe.Event
	stop   func() // ends Run and waits for it
}

func watch(t *testing.T, p *Port) *watched {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	w := &watched{t: t, events: make(chan probe.Event, 1000)}
	done := make(chan error, 1)
	start := time.Now()
	go func() {
		done <- p.Run(ctx, func() time.Duration { return time.Since(start) }, func(e probe.Event) { w.events <- e })
	}()
	stopped := false
	w.stop = func() {
		if stopped {
			return
		}
		stopped = true
		cancel()
		select {
		case err := <-done:
			if err != nil {
				t.Errorf("Run: %v", err)
			}
		case <-time.After(10 * time.Second):
			t.Error("Run did not end with its context")
		}
	}
	t.Cleanup(w.stop)
	return w
}

// next waits for an event that is right.
func (w *watched) next(what string, right func(probe.Event) bool) probe.Event {
	w.t.Helper()
	limit := time.After(10 * time.Second)
	for {
		select {
		case e := <-w.events:
			if right(e) {
				return e
			}
		case <-limit:
			w.t.Fatalf("no %s within 10 s", what)
		}
	}
}

func (w *watched) up() probe.Event {
	w.t.Helper()
	return w.next("link", func(e probe.Event) bool { return e.Link == probe.LinkUp })
}

func (w *watched) lost() probe.Event {
	w.t.Helper()
	return w.next("loss", func(e probe.Event) bool { return e.Link == probe.LinkLost })
}

func (w *watched) reading() probe.Event {
	w.t.Helper()
	return w.next("reading", func(e probe.Event) bool { return e.HasReading && e.Link == probe.LinkSame })
}

func quick(t *testing.T, s Settings) *Port {
	t.Helper()
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	p.backMin, p.backMax = time.Millisecond, 10*time.Millisecond
	return p
}

func TestRun_readsLines(t *testing.T) {
	probetest.LeavesNothing(t)
	cable := probetest.NewCable(t)
	w := watch(t, quick(t, Settings{Path: cable.Path(), Baud: 115200}))
	w.up()
	cable.Send("2.4\r\nT=112.5 C\r\nT=1")
	if e := w.reading(); e.Reading.C != 112.5 || e.Raw != "T=112.5 C" {
		t.Errorf("first whole line read as %+v", e)
	}
	cable.Send("12.6 C\r\n")
	if e := w.reading(); e.Reading.C != 112.6 {
		t.Errorf("line in two pieces read as %+v", e)
	}
}

// The probe is pulled out and plugged in a hundred times, each time under
// another name: it comes back, each gap is marked, and nothing leaks.
func TestRun_replugs(t *testing.T) {
	probetest.LeavesNothing(t)
	cable := probetest.NewCable(t)
	p := quick(t, Settings{Path: cable.Path()})
	tries := 0
	open := p.open
	p.open = func(path string) (device, error) { tries++; return open(path) }
	w := watch(t, p)
	var before int
	for i := range 100 {
		w.up()
		if i == 1 { // the first round has set up what stays
			before = descriptors(t)
		}
		want := probe.Celsius(100) + probe.Celsius(i)/10
		cable.Send(fmt.Sprintf("\n%.1f\n", want))
		if e := w.reading(); e.Reading.C != want || e.Reading.Fault != probe.FaultNone {
			t.Fatalf("round %d: %+v, want %v", i, e, want)
		}
		old := cable.Node()
		plugged := time.Now()
		cable.Unplug()
		gap := w.lost()
		if !gap.HasReading || gap.Reading.Fault != probe.FaultGone || gap.Note == "" {
			t.Fatalf("round %d: the gap is not marked: %+v", i, gap)
		}
		cable.Plug()
		if cable.Node() == old {
			t.Fatalf("round %d: plugged in under the same name %s", i, old)
		}
		if d := time.Since(plugged); d > 2*time.Second {
			t.Errorf("round %d took %v", i, d)
		}
	}
	w.up()
	if after := descriptors(t); after > before {
		t.Errorf("%d descriptors open after 100 replugs, %d before", after, before)
	}
	w.stop()
	if tries > 100*20 {
		t.Errorf("%d attempts to open for 100 replugs: a busy loop", tries)
	}
}

// descriptors counts the open files of this process.
func descriptors(t *testing.T) int {
	t.Helper()
	all, err := os.ReadDir("/dev/fd")
	if err != nil {
		t.Skipf("no way to count open files: %v", err)
	}
	return len(all)
}

// A probe known by its USB id is found under any name, and its place taken by
// another board is left alone.
func TestRun_followsTheDevice(t *testing.T) {
	probetest.LeavesNothing(t)
	cable, other := probetest.NewCable(t), probetest.NewCable(t)
	const pot, scale = "2341:0043:POT1", "2341:0043:SCALE"
	list := make(chan []Found, 1)
	set := func(f ...Found) { list <- f }
	p := quick(t, Settings{Path: cable.Node()})
	looked := make(chan bool, 1)
	p.find.list = func() ([]Found, error) {
		f := <-list
		list <- f
		select {
		case looked <- true:
		default:
		}
		return f, nil
	}
	set(Found{Path: cable.Node(), USB: pot}, Found{Path: other.Node(), USB: scale})
	w := watch(t, p)
	w.up()
	old := cable.Node()
	<-list
	cable.Unplug()
	set(Found{Path: old, USB: scale})
	if e := w.lost(); !strings.Contains(e.Note, "plug it in again") {
		t.Errorf("note on a loss: %q", e.Note)
	}
	for range 3 { // looks for it, and leaves the other board alone
		<-looked
	}
	cable.Plug()
	<-list
	set(Found{Path: old, USB: scale}, Found{Path: cable.Node(), USB: pot})
	if e := w.up(); !strings.Contains(e.Note, cable.Node()) {
		t.Errorf("note on coming back under another name: %q", e.Note)
	}
	cable.Send("\n112.4\n")
	if e := w.reading(); e.Reading.C != 112.4 {
		t.Errorf("read %+v", e)
	}
}

func TestRun_tellsOnceWhatIsWrong(t *testing.T) {
	probetest.LeavesNothing(t)
	w := watch(t, quick(t, Settings{Path: "/dev/no-such-probe"}))
	e := w.lost()
	for _, want := range []string{"cannot open /dev/no-such-probe", "no such port", "plug the probe in"} {
		if !strings.Contains(e.Note, want) {
			t.Errorf("note %q lacks %q", e.Note, want)
		}
	}
	w.stop()
	if n := len(w.events); n > 0 {
		t.Errorf("%d more events for the same trouble", n)
	}
}

func TestOpen_errors(t *testing.T) {
	probetest.LeavesNothing(t)
	locked := t.TempDir() + "/locked"
	if err := os.WriteFile(locked, nil, 0); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		path string
		want error
	}{
		{"/dev/no-such-probe", ErrNotFound},
		{"/dev/null", ErrNotSerial},
		{os.TempDir(), ErrNotSerial},
		{locked, ErrDenied},
	} {
		if row.want == ErrDenied && os.Getuid() == 0 {
			continue // root may open anything
		}
		_, err := quick(t, Settings{Path: row.path}).Dial(t.Context())
		var e *Error
		if !errors.Is(err, row.want) || !errors.As(err, &e) || e.Remedy() == "" {
			t.Errorf("opening %s: %v, want %v with a remedy", row.path, err, row.want)
		}
	}
}

func TestOpen_busy(t *testing.T) {
	probetest.LeavesNothing(t)
	if os.Getuid() == 0 {
		t.Skip("root may open a port twice")
	}
	cable := probetest.NewCable(t)
	first, err := quick(t, Settings{Path: cable.Path()}).Dial(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer first.Close()
	if _, err := quick(t, Settings{Path: cable.Path()}).Dial(t.Context()); !errors.Is(err, ErrBusy) {
		t.Errorf("opening a port twice: %v, want %v", err, ErrBusy)
	}
}

// A child process must not inherit the port, or an alert command that hangs
// would hold on to an unplugged probe.
func TestOpen_closesOnExec(t *testing.T) {
	probetest.LeavesNothing(t)
	cable := probetest.NewCable(t)
	before := openFiles(t)
	dev, err := quick(t, Settings{Path: cable.Path()}).Dial(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer dev.Close()
	found := false
	for fd, name := range openFiles(t) {
		if before[fd] == name || name != cable.Node() {
			continue
		}
		found = true
		flags, err := unix.FcntlInt(uintptr(fd), unix.F_GETFD, 0)
		if err != nil || flags&unix.FD_CLOEXEC == 0 {
			t.Errorf("descriptor %d of %s: flags %#x, %v; want close-on-exec", fd, name, flags, err)
		}
	}
	if !found {
		t.Fatal("the port's descriptor was not found")
	}
}

// openFiles maps this process's descriptors to what they are.
func openFiles(t *testing.T) map[int]string {
	t.Helper()
	entries, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Skipf("no /proc: %v", err)
	}
	m := map[int]string{}
	for _, e := range entries {
		var fd int
		fmt.Sscan(e.Name(), &fd)
		m[fd], _ = os.Readlink("/proc/self/fd/" + e.Name())
	}
	return m
}
