//go:build unix

package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/mqtt"
	"boildown/probe/port"
	"boildown/sessions"
)

// slowDisk is the real disk with something wrong with it.
type slowDisk struct {
	sessions.Disk
	sync   time.Duration
	stuck  bool
	refuse bool
	panics atomic.Bool   // broken while a recorder may be at work
	mend   chan struct{} // closed when all is well again
}

type slowFile struct {
	sessions.File
	d *slowDisk
}

func (d *slowDisk) Create(path string) (sessions.File, error) {
	f, err := d.Disk.Create(path)
	if err != nil {
		return nil, err
	}
	return slowFile{f, d}, nil
}

func (f slowFile) well() bool {
	select {
	case <-f.d.mend:
		return true
	default:
		return false
	}
}

func (f slowFile) Write(b []byte) (int, error) {
	if f.d.refuse && !f.well() {
		return 0, syscall.ENOSPC
	}
	return f.File.Write(b)
}

func (f slowFile) Sync() error {
	if f.d.panics.Load() {
		panic("broken disk")
	}
	wait := f.d.sync
	if f.d.stuck {
		wait = time.Hour
	}
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-f.d.mend:
	}
	return f.File.Sync()
}

// rush is a probe that sends n readings at 20 Hz, notes when, and ends. Its
// sugar burns, which sounds the alarm; see burnsAt.
type rush struct {
	n    int
	sent []time.Time
}

func (s *rush) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	tick := time.NewTicker(50 * time.Millisecond)
	defer tick.Stop()
	for i := range s.n {
		s.sent = append(s.sent, time.Now())
		emit(probe.Event{HasReading: true, Reading: probe.Reading{At: now(), C: probe.Celsius(burning(i))}})
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
	return nil
}

// burning is a dry melt that stands for a while, then makes for 190 °C; no two
// readings are alike.
func burning(i int) float64 { return float64(168_000+2*i+150*max(i-30, 0)) / 1000 }

// listener is a way to be heard that notes when.
type listener struct{ first atomic.Int64 }

func (e *listener) sound(notice) { e.first.CompareAndSwap(0, time.Now().UnixNano()) }

// cooked runs a whole cook in this process on a disk, with an alert command or
// none, measures how long the screen's snapshot and the alarm waited behind
// the reading that they tell of, and counts what was kept.
func cooked(t *testing.T, r *survivalRow, disk *slowDisk, alert []string) {
	dir, done := tempFor(t)
	defer done()
	header := sessions.Header{Start: time.Now(), Config: freshConfig(), Fold: plateau.Version}
	rec, err := sessions.CreateAnywayOn(disk, dir, header)
	if err != nil {
		t.Fatal(err)
	}
	probe := &rush{n: 100}
	b := &batch{header: header.Stored(), state: plateau.Start(header.Config), rec: rec, dir: dir, source: probe, alert: alert}
	flags := &cookFlags{}
	flags.source.speed = 1
	k := newKitchen(t.Context(), b, flags, nil, io.Discard)
	ear := &listener{}
	k.ringer.sounders = append(k.ringer.sounders, ear)
	var stepped []time.Time // per reading; written by the pump alone
	var alarmed int         // the reading that raised the first alarm, from 1
	k.pump.watch = append([]watcher{func(in plateau.Input, a plateau.Advice) {
		if in.Kind != plateau.Measured {
			return
		}
		stepped = append(stepped, time.Now())
		for p := range a.Began.All {
			if alarmed == 0 && rankOf(p) > shown {
				alarmed = len(stepped)
			}
		}
	}}, k.pump.watch...)
	k.pump.Tell(plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkMeltStart})
	mended := time.AfterFunc(6*time.Second, func() { close(disk.mend) }) // before the record gives up closing
	defer mended.Stop()
	status := report(io.Discard, k.cook(io.Discard))
	for i := range min(len(stepped), len(probe.sent)) {
		r.waited(stepped[i].Sub(probe.sent[i]))
	}
	heard := ear.first.Load()
	if alarmed == 0 || heard == 0 {
		t.Errorf("alarm raised by reading %d, heard at %d", alarmed, heard)
	} else {
		r.waited(time.Unix(0, heard).Sub(probe.sent[alarmed-1]))
	}
	s, err := sessions.Read(rec.Path())
	if err != nil {
		t.Fatal(err)
	}
	lost := missingOf(s, probe.n)
	r.count(status == statusOK && s.Closed && len(s.Damage) == 0 && replays(s), probe.n-lost, lost)
}

// missingOf counts the readings of a rush that are not on record.
func missingOf(s *sessions.Session, n int) int {
	there := map[float64]bool{}
	for in := range s.Inputs() {
		there[float64(in.C)] = true
	}
	lost := 0
	for i := range n {
		if !there[burning(i)] {
			lost++
		}
	}
	return lost
}

func onDisk(wrong func(d *slowDisk)) func(*testing.T, *survivalRow, int) {
	return func(t *testing.T, r *survivalRow, n int) {
		for range n {
			d := &slowDisk{Disk: sessions.OnDisk(), mend: make(chan struct{})}
			wrong(d)
			cooked(t, r, d, nil)
		}
	}
}

func withAlert(script string) func(*testing.T, *survivalRow, int) {
	return func(t *testing.T, r *survivalRow, n int) {
		for range n {
			cooked(t, r, &slowDisk{Disk: sessions.OnDisk(), mend: make(chan struct{})}, []string{"sh", "-c", script})
		}
	}
}

// panics are the parts of a cook that each have a goroutine, and how to break
// one.
var panics = []struct {
	where string
	set   func(k *kitchen, d *slowDisk)
}{
	{"probe: ", func(k *kitchen, _ *slowDisk) { k.source = broken{} }},
	{"pump: ", func(k *kitchen, _ *slowDisk) {
		k.pump.watch = append(k.pump.watch, func(plateau.Input, plateau.Advice) { panic("broken watcher") })
	}},
	{"alarms: ", func(k *kitchen, _ *slowDisk) { k.ringer.sounders = append(k.ringer.sounders, brokenEar{}) }},
	{"lines: ", func(k *kitchen, _ *slowDisk) { k.print.out = brokenWriter{} }},
	{"recorder: ", func(_ *kitchen, d *slowDisk) { d.panics.Store(true) }},
	{"probe: ", func(k *kitchen, _ *slowDisk) { // of another channel
		k.source = sided{source: k.source, others: []sideProbe{{"room", broken{}}}}
	}},
	{"probe: ", func(k *kitchen, _ *slowDisk) {
		k.source = port.NewStream(brokenReader{}, "standard input", probe.Format{})
	}},
	{"alert command: ", func(k *kitchen, _ *slowDisk) {
		k.alert = newAlertCommand([]string{"echo"}, brokenWriter{})
		k.ringer.sounders = append(k.ringer.sounders, k.alert)
	}},
	{"bell: ", func(k *kitchen, _ *slowDisk) {
		k.bell = newBell(brokenWriter{}, notifyOff)
		k.ringer.sounders = append(k.ringer.sounders, k.bell)
	}},
	{"publishing: ", func(k *kitchen, _ *slowDisk) {
		k.public, k.broker = &publicist{out: brokenOutlet{}, spoken: k.pump.Snapshot, soon: make(chan struct{}, 1)}, nobody()
	}},
	{"broker: ", func(k *kitchen, _ *slowDisk) {
		k.public, k.broker = &publicist{out: nobody(), spoken: k.pump.Snapshot, soon: make(chan struct{}, 1)}, nil
	}},
}

// nobody is a publisher whose broker is not there.
func nobody() *mqtt.Publisher {
	p, err := mqtt.NewPublisher(mqtt.Broker{Address: "127.0.0.1:1"}, "pot")
	if err != nil {
		panic(err)
	}
	return p
}

type brokenReader struct{}

func (brokenReader) Read([]byte) (int, error) { panic("broken reader") }

type brokenOutlet struct{}

func (brokenOutlet) Publish(string, []byte, bool) { panic("broken outlet") }

type brokenEar struct{}

func (brokenEar) sound(notice) { panic("broken ear") }

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { panic("broken writer") }

// panicking breaks each part in turn: one message, status 1, a crash note for
// the owner alone, and a record that can be continued with all that was synced.
func panicking(t *testing.T, r *survivalRow, n int) {
	each(n, 5, func(i int) {
		part := panics[i%len(panics)]
		dir, done := tempFor(t)
		defer done()
		header := sessions.Header{Start: time.Now(), Config: freshConfig(), Fold: plateau.Version}
		disk := &slowDisk{Disk: sessions.OnDisk(), mend: make(chan struct{})}
		rec, err := sessions.CreateAnywayOn(disk, dir, header)
		if err != nil {
			t.Error(err)
			return
		}
		b := &batch{header: header.Stored(), state: plateau.Start(header.Config), rec: rec, dir: dir, source: &rush{n: 1000}}
		flags := &cookFlags{}
		flags.source.speed = 1
		var errOut bytes.Buffer
		k := newKitchen(t.Context(), b, flags, nil, io.Discard)
		part.set(k, disk)
		k.pump.Tell(plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkMeltStart})
		status := report(&errOut, k.cook(io.Discard))
		said := strings.HasPrefix(errOut.String(), "boildown: a fault in the program ended the cook: "+part.where) && strings.Count(errOut.String(), "\n") == 2
		notes, _ := filepath.Glob(filepath.Join(dir, "crash-*.txt"))
		var s *sessions.Session
		var again *sessions.Recorder
		waitUntil(t, "the record's lock", func() bool { // a program that starts just now has it for a moment
			s, again, err = sessions.Continue(rec.Path())
			return !errors.Is(err, sessions.ErrLocked)
		})
		ok := status == statusFailed && said && len(notes) == 1 && err == nil && len(s.Damage) == 0 && replays(s)
		if !ok {
			t.Errorf("%sstatus %d, %d notes, %v, it says %q", part.where, status, len(notes), err, errOut.String())
		}
		for _, n := range notes {
			if info, err := os.Stat(n); err != nil || info.Mode().Perm() != 0o600 {
				t.Errorf("crash note of mode %v", info.Mode())
			}
		}
		if err != nil {
			r.count(false, 0, 0)
			return
		}
		again.Close(sessions.Summary{})
		acked := rec.Status().Synced // lines; the resumption stands for the header
		r.count(ok, acked, max(acked-len(s.Records), 0))
	})
}

// deafTerminal cooks on a terminal that takes nothing for some seconds, as over
// a link that is down: frames are dropped, readings are not. What it takes
// before that ends anywhere, also in the cook's last words.
func deafTerminal(t *testing.T, r *survivalRow, n int) {
	each(n, 4, func(int) {
		dir, done := tempFor(t)
		defer done()
		p := plugInEvery(t, 50*time.Millisecond, func(n int) string { return text2(counted(n)) })
		cmd, master, tty, err := onDeafScreen(t, dir, p.path)
		if err != nil {
			t.Error(err)
			return
		}
		defer master.Close()
		defer tty.Close()
		go tty.Write(make([]byte, rand.IntN(12<<10)))
		waitUntil(t, "readings on record", func() bool { return p.sent.Load() > 100 })
		cmd.Process.Signal(syscall.SIGTERM)
		ended := cmd.ends(t)
		cmd.endsWhole(t) // it may have left a write to the terminal waiting
		var exit interface{ ExitCode() int }
		s := (&fed{dir: dir}).kept()
		if s == nil {
			t.Error("there is no record")
			r.count(false, 0, syncedIn(cmd.dir))
			return
		}
		acked, lost := cmd.acknowledged(s)
		r.count(errors.As(ended, &exit) && exit.ExitCode() == 1 && len(s.Damage) == 0, acked, lost+holes(s, acked))
	})
}

// holes counts the readings that ought to be among the first n and are not. The
// first may be any: what was sent before the port was open is not ours.
func holes(s *sessions.Session, n int) (lost int) {
	next := -1
	for in := range s.Inputs() {
		if in.Kind != plateau.Measured || in.Fault != probe.FaultNone {
			continue
		}
		if n--; n < 0 {
			break
		}
		is := int(math.Round(float64(in.C)*100)) - 2000
		if next >= 0 {
			lost += max(is-next, 0)
		}
		next = is + 1
	}
	return lost
}

// resizeStorm drags the window through every size while readings come.
func resizeStorm(t *testing.T, r *survivalRow, n int) {
	for range n {
		dir, done := tempFor(t)
		p := plugInEvery(t, 50*time.Millisecond, func(n int) string { return text2(counted(n)) })
		s := onScreen(t, 80, 24, false, "cook", "--probe", p.path, "--dir", dir)
		s.sees("◀ now")
		for i := range 200 {
			width, height := 1+rand.IntN(500), 1+rand.IntN(100)
			if i%3 == 0 {
				width, height = 1, 1
			}
			if err := pty.Setsize(s.pty, &pty.Winsize{Cols: uint16(width), Rows: uint16(height)}); err != nil {
				t.Fatal(err)
			}
			time.Sleep(2 * time.Millisecond) // a hand at the window's edge, not a wait for anything
		}
		s.resize(120, 40)
		s.sees("◀ now")
		waitUntil(t, "readings during and after it", func() bool { return p.sent.Load() > 100 })
		s.cmd.Process.Signal(syscall.SIGTERM)
		status := s.ends()
		s.restored()
		kept := (&fed{dir: dir}).kept()
		if kept == nil {
			t.Fatal("there is no record")
		}
		acked, lost := s.cmd.acknowledged(kept)
		r.count(status == 1 && len(kept.Damage) == 0, acked, lost+holes(kept, acked))
		done()
	}
}
