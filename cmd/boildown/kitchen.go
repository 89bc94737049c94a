package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"sync/atomic"
	"syscall"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/mqtt"
	"boildown/probe/pot"
	"boildown/sessions"
	"boildown/ui"
)

// kitchen is a batch that is being cooked: the pump and everything round it.
type kitchen struct {
	*crew
	batch  *batch
	pump   *pump
	tell   ui.Teller
	source source
	ringer *ringer
	alert  *alertCommand // nil when the user has none
	bell   *bell
	public *publicist // nil when nobody is told, as is broker
	broker *mqtt.Publisher
	term   *terminal // nil for plain lines
	print  *printer
	screen *ui.Program
	next   atomic.Bool // the person asked for another batch on the same recipe
}

// How long the end of a cook waits for a terminal that takes no bytes.
const terminalPatience = 2 * time.Second

// errEnded ends a cook in the orderly way: the person or the source is done.
var errEnded = errors.New("the cook has ended")

// signalled ends a cook because the system said so.
type signalled struct{ os.Signal }

func (s signalled) Error() string { return s.Signal.String() }

func newKitchen(ctx context.Context, b *batch, flags *cookFlags, term *terminal, out io.Writer) *kitchen {
	k := &kitchen{crew: newCrew(ctx), batch: b, term: term}
	clock := newClock(uptime, b.at, flags.source.speed)
	k.pump = newPump(clock, b.state, b.at, b.rec, b.header.Unit)
	k.pump.snap.Demo, k.pump.snap.Speed = flags.source.simulated(), flags.source.speed
	if b.past != nil {
		k.pump.catchUp(b.past)
	}
	k.sounds(flags)
	k.probe(flags)
	if k.public, k.broker = b.public, b.broker; k.public != nil {
		k.public.spoken = k.pump.Snapshot
		k.pump.watch = append(k.pump.watch, k.public.watch)
	}
	if term == nil {
		k.print = newPrinter(out)
		lines := &plain{out: k.print, unit: b.header.Unit, next: b.at}
		lines.also = func() string { return k.pump.sideWords(lines.unit) }
		k.pump.watch = append(k.pump.watch, lines.watch)
		k.pump.news = lines.news
		if words := b.header.HabitsFrom; words != "" {
			lines.line(b.at, "learned", words)
		}
		return k
	}
	k.screen = ui.NewProgram(ui.NewLive(k.screenConfig(flags), k.pump.hist, k.pump, k.tell), term.in, term.out)
	return k
}

// sounds sets up the ways to be heard.
func (k *kitchen) sounds(flags *cookFlags) {
	var ways []sounder
	if k.term != nil {
		k.bell = newBell(k.term.out, k.batch.notify)
		ways = append(ways, k.bell)
	}
	if k.batch.alert != nil {
		k.alert = newAlertCommand(k.batch.alert, newAlertLog(k.batch.dir))
		ways = append(ways, k.alert)
	}
	k.ringer = newRinger(k.batch.header.Unit, ways...)
	k.setQuiet(flags.alerts.quiet)
	k.pump.watch = append(k.pump.watch, k.ringer.watch)
}

func (k *kitchen) setQuiet(quiet bool) {
	k.ringer.setQuiet(quiet)
	k.pump.mu.Lock()
	defer k.pump.mu.Unlock()
	k.pump.snap.Quiet = quiet
}

// probe sets up where readings come from and who hears the marks.
func (k *kitchen) probe(flags *cookFlags) {
	k.source, k.tell = k.batch.source, k.pump
	if k.source != nil {
		return
	}
	cfg := flags.source.potConfig(k.batch.header.Config)
	src := pot.NewSource(cfg)
	src.Speed = flags.source.speed
	s := &stove{Source: src, pump: k.pump}
	if flags.source.demo || k.term == nil { // nobody could press a mark
		s.scripts = true
		src.Cook = pot.NewCook()
		src.Cook.Target = k.batch.header.Config.Target
		src.Cook.LowerAt = src.Cook.Target - probe.Celsius(probe.DeltaF(7))
		src.Press = s.press
	}
	k.pump.watch = append(k.pump.watch, s.watch)
	k.source, k.tell = src, s
}

func (k *kitchen) screenConfig(flags *cookFlags) ui.Config {
	cfg := flags.screen.config()
	cfg.Name, cfg.Unit, cfg.Fold = k.batch.header.Recipe, k.batch.header.Unit, k.batch.header.Config
	cfg.Target = k.batch.header.TargetFrom
	cfg.Offset, cfg.Habits = flags.offsetWords(time.Now()), k.batch.header.HabitsFrom
	cfg.TestAlert, cfg.SetQuiet = k.ringer.test, k.setQuiet
	cfg.Outcome = func(o sessions.Outcome) error {
		k.batch.rec.Amend(sessions.Amendment{When: time.Now(), Outcome: &o})
		return nil
	}
	cfg.Next = func() { k.next.Store(true) }
	return cfg
}

// cook runs until the person, the source, a signal or a fault ends it. The
// record is closed first and the terminal is waited for last: it may be gone.
func (k *kitchen) cook(out io.Writer) error {
	stopSignals := k.signals()
	defer stopSignals()
	k.start("record", k.recording)
	k.start("pump", k.pump.run)
	k.start("alarms", k.ringer.run)
	if k.alert != nil {
		k.start("alert command", k.alert.run)
	}
	if k.bell != nil {
		k.loose("bell", func() { k.bell.run(k.ctx.Done()) })
	}
	if k.batch.source != nil { // a real pot
		k.start("staying awake", func(ctx context.Context) {
			stayAwake(ctx, awakeCommand(), func(note string) { k.pump.mayFallAsleep(ctx, note) })
		})
	}
	k.start("probe", k.read)
	published := k.publish()
	shown := k.show()
	<-k.ctx.Done()
	k.wg.Wait()
	published()
	err := k.closeRecord()
	switch takes := k.waitForTerminal(shown); {
	case !takes: // words would wait for ever
		return mute(k.verdict(io.Discard, err))
	case k.term != nil: // it took the screen's end, and may have room for no more
		return hasten(k.verdict(&hasty{w: out}, err))
	}
	return k.verdict(out, err)
}

// recording ends the cook when the recorder's own goroutine has a fault.
func (k *kitchen) recording(ctx context.Context) {
	select {
	case <-ctx.Done():
	case <-k.batch.rec.Done():
		k.recorderFault()
	}
}

// recorderFault ends the cook for a panic of the recorder, where there was one.
func (k *kitchen) recorderFault() {
	if f := k.batch.rec.Fault(); f != nil {
		k.fail(&crash{where: "recorder", value: f.Value, stack: f.Stack})
	}
}

// read runs the source and says how it ended.
func (k *kitchen) read(ctx context.Context) {
	err := k.source.Run(ctx, k.pump.clock.tick, func(e probe.Event) { k.pump.emit(ctx, e) })
	if ctx.Err() != nil {
		return
	}
	note := "The source has ended: nothing more will come."
	if err != nil {
		note = err.Error()
	}
	k.pump.ended(note)
	if k.term == nil {
		if err == nil {
			err = errEnded
		}
		k.cancel(err)
	}
}

// show puts the batch before the person's eyes and returns a channel that is
// closed when that is over and the terminal is as it was.
func (k *kitchen) show() <-chan struct{} {
	done := make(chan struct{})
	if k.screen == nil {
		k.loose("lines", func() {
			defer close(done)
			k.cancel(k.print.run(k.ctx.Done()))
		})
		return done
	}
	context.AfterFunc(k.ctx, func() {
		k.screen.Quit()
		time.AfterFunc(terminalPatience/2, k.screen.Kill)
	})
	k.loose("screen", func() {
		defer close(done)
		k.screenEnd(k.screen.Run())
	})
	return done
}

// screenEnd makes the end of the screen that of the cook.
func (k *kitchen) screenEnd(err error) {
	c := screenCrash(err)
	switch {
	case err == nil:
		k.cancel(errEnded)
	case c != nil:
		k.fail(c)
	default:
		k.cancel(hinted(fmt.Errorf("cannot use the terminal: %w", err), "boildown cook | cat prints plain lines instead"))
	}
}

// orderly reports whether the person or the source ended the cook.
func (k *kitchen) orderly() bool {
	cause := context.Cause(k.ctx)
	return k.fault() == nil && (errors.Is(cause, errEnded) || errors.Is(cause, signalled{os.Interrupt}))
}

// closeRecord ends the record. Only a cook that ended in the orderly way gets
// a closing line; any other may be continued.
func (k *kitchen) closeRecord() (err error) {
	defer k.caught("closing")
	if k.orderly() {
		sum := k.pump.sum
		sum.Fold = plateau.Version
		err = k.batch.rec.Close(sum)
	} else {
		err = k.batch.rec.Leave()
	}
	k.recorderFault()
	return err
}

// waitForTerminal gives the terminal a moment and reports whether it still
// takes bytes. When it does not, its modes at least are put back.
func (k *kitchen) waitForTerminal(shown <-chan struct{}) (takes bool) {
	select {
	case <-shown:
		takes = true
	case <-time.After(terminalPatience):
	}
	if k.term != nil {
		k.term.restore()
	}
	return takes
}

// verdict says how the cook ended, to a person who looks at a shell again.
func (k *kitchen) verdict(out io.Writer, recordErr error) error {
	path := k.batch.rec.Path()
	cause := context.Cause(k.ctx)
	if c := k.fault(); c != nil { // it says more than a record that suffered from it
		hint := "the batch is kept; go on with it by boildown cook --continue=" + path
		return c.ended("cook", k.batch.dir, hint, " and report ")
	}
	if recordErr != nil {
		return hinted(fmt.Errorf("the record is not whole: %w", recordErr), "free some room, then boildown sessions shows what was kept")
	}
	var s signalled
	switch {
	case errors.Is(cause, errEnded), errors.Is(cause, signalled{os.Interrupt}), errors.Is(cause, syscall.EPIPE):
		endWords(out, path)
		return nil
	case errors.As(cause, &s):
		return &failure{err: fmt.Errorf("ended by signal: %s", s), hint: "the batch is kept; go on with it by boildown cook --continue=" + path, status: statusFailed}
	}
	return cause
}

var _ recorder = (*sessions.Recorder)(nil)
