package port

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"boildown/probe"
)

// Times of the reading loop.
const (
	readTimeout = 500 * time.Millisecond
	backMin     = 250 * time.Millisecond
	backMax     = time.Second // so that a replugged probe is back within 2 s
)

// device is an open port, as the loop needs it. A Read that times out returns
// 0 and no error.
type device interface {
	io.ReadWriteCloser
}

// Port reads a thermometer that prints lines on a serial port.
type Port struct {
	set  Settings
	find *finder
	open func(path string) (device, error)

	backMin, backMax time.Duration
}

// New checks s and returns the source. It opens nothing.
func New(s Settings) (*Port, error) {
	mode, err := s.mode()
	if err != nil {
		return nil, err
	}
	f, err := newFinder(s)
	if err != nil {
		return nil, err
	}
	open := func(path string) (device, error) {
		p, err := openSerial(path, mode)
		if err != nil {
			return nil, openError(path, err)
		}
		if err := p.SetReadTimeout(readTimeout); err != nil {
			p.Close()
			return nil, openError(path, err)
		}
		return p, nil
	}
	return &Port{set: s, find: f, open: open, backMin: backMin, backMax: backMax}, nil
}

// Dial finds and opens the port once, for a caller that speaks to an
// instrument on it. Reads time out after half a second with 0 bytes and no
// error.
func (p *Port) Dial(context.Context) (io.ReadWriteCloser, error) {
	path, err := p.find.path()
	if err != nil {
		return nil, err
	}
	d, err := p.open(path)
	if err != nil {
		return nil, err
	}
	p.find.opened(path)
	return d, nil
}

// Run reads the port until ctx ends. A port that is missing, busy or locked is
// reported once and tried again: the cook may be plugging it in. After a loss
// the device is found again under whatever name it has then.
func (p *Port) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	r := &run{Port: p, now: now, emit: emit, tell: probe.Teller{Now: now, Emit: emit}}
	back := p.backMin
	for ctx.Err() == nil {
		err := r.once(ctx)
		if ctx.Err() != nil {
			return nil
		}
		r.lost(err)
		if r.heard {
			back = p.backMin
		}
		select {
		case <-ctx.Done():
		case <-time.After(back):
		}
		back = min(2*back, p.backMax)
	}
	return nil
}

// run is one Run's state.
type run struct {
	*Port
	now   func() time.Duration
	emit  func(probe.Event)
	tell  probe.Teller
	path  string // last opened
	heard bool   // bytes came since the port was opened
	gone  bool   // its loss is told
}

// once opens the port and reads it to its end, which is always an error.
func (r *run) once(ctx context.Context) error {
	r.heard = false
	path, err := r.find.path()
	if err != nil {
		return err
	}
	dev, err := r.open(path)
	if err != nil {
		return err
	}
	// Closed at once on any error: while it is open Linux keeps its name taken,
	// and the replugged device gets another. Closing also ends a blocked Read.
	defer dev.Close()
	stop := context.AfterFunc(ctx, func() { dev.Close() })
	defer stop()
	r.find.opened(path)
	r.up(path)
	return r.read(ctx, dev, path)
}

func (r *run) up(path string) {
	n := ""
	if r.path != "" && !samePath(r.path, path) {
		n = fmt.Sprintf("the probe is back, now as %s", path)
	}
	r.path = path
	r.tell.Up(n)
}

// lost tells of a failure. That an unplugged probe is then nowhere to be found
// is no news.
func (r *run) lost(err error) {
	if r.gone && errors.Is(err, ErrNotFound) {
		return
	}
	r.gone = errors.Is(err, ErrGone)
	r.tell.Lost(Note(err))
}

// read hands on what comes until the port fails.
func (r *run) read(ctx context.Context, dev device, path string) error {
	in := probe.Intake{
		Format: r.set.Format, Name: path,
		Remedy: fmt.Sprintf("set the board's speed with --baud (now %d), or let \"boildown probes\" try the usual ones", r.baud()),
	}
	in.Begin(r.now(), true)
	buf := make([]byte, 256)
	hasty := 0
	for {
		began := time.Now()
		n, err := dev.Read(buf)
		at := r.now()
		if n > 0 {
			r.heard, hasty = true, 0
			in.Feed(buf[:n], at, r.emit)
		}
		if err != nil {
			return readError(path, err)
		}
		if n == 0 {
			// A driver that answers a hang-up with nothing at all, at once and
			// for ever, must not keep a core busy.
			if hasty++; time.Since(began) > readTimeout/4 {
				hasty = 0
			}
			if hasty > 50 {
				return readError(path, errors.New("the port ends at once"))
			}
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		in.Tick(at, r.emit)
	}
}

func (r *run) baud() int {
	if r.set.Baud == 0 {
		return DefaultBaud
	}
	return r.set.Baud
}
