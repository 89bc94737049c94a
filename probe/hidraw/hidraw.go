package hidraw

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"boildown/probe"
	"boildown/probe/poll"
)

// Times of reading.
const (
	defaultEvery = 250 * time.Millisecond
	answerTime   = 5 * time.Second // some devices send once in a few seconds
)

var (
	errMissing = errors.New("there is no such device")
	errAlike   = errors.New("several devices have this USB id")
)

// Settings says which device to read and how.
type Settings struct {
	Path   string // node, such as /dev/hidraw3; or "" with USB
	USB    string // "VID:PID" or "VID:PID:SERIAL"; wins over Path
	Layout Layout
	Every  time.Duration // between readings at least; 0 for 250 ms

	sys  string
	open func(path string) (io.ReadWriteCloser, error)
}

// Source reads one device.
type Source struct{ set Settings }

// New checks s and returns the source. The device may be plugged in later.
func New(s Settings) (*Source, error) {
	if s.Path == "" && s.USB == "" {
		return nil, errors.New("hidraw: no device is named: give its node or its USB id; \"boildown probes\" lists them")
	}
	if err := s.Layout.check(); err != nil {
		return nil, err
	}
	if s.Every == 0 {
		s.Every = defaultEvery
	}
	if s.open == nil {
		s.open = openNode
	}
	return &Source{set: s}, nil
}

// openNode opens the node for writing too where that is allowed. The file is
// close-on-exec and can time out, as all that package os opens.
func openNode(path string) (io.ReadWriteCloser, error) {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if errors.Is(err, fs.ErrPermission) {
		return os.Open(path)
	}
	return f, err
}

// Run reads until ctx ends, and finds the device again after a loss.
func (s *Source) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	// The connection paces itself, since it must keep emptying the kernel's
	// queue: a report that has waited there is a temperature of long ago.
	return poll.Loop{Every: time.Nanosecond, Open: s.dial, Note: s.note}.Run(ctx, now, emit)
}

func (s *Source) name() string {
	if s.set.USB != "" {
		return "USB device " + s.set.USB
	}
	return s.set.Path
}

func (s *Source) note(err error) string {
	remedy := "unplug it, plug it in again, and see \"boildown probes\""
	switch {
	case errors.Is(err, errMissing), errors.Is(err, fs.ErrNotExist):
		err, remedy = errMissing, "plug it in; it is taken up as soon as it appears"
	case errors.Is(err, errAlike):
		remedy = "add the serial number, as in VID:PID:SERIAL, or name the node"
	case errors.Is(err, fs.ErrPermission):
		remedy = "allow your user to read it with a udev rule such as SUBSYSTEM==\"hidraw\", MODE=\"0660\", GROUP=\"plugdev\", then plug it in again"
		err = fs.ErrPermission
	case errors.Is(err, poll.ErrNoAnswer) && s.set.Layout.Ask == nil:
		remedy = "it may have to be asked first (ask=), or sends under another report number (report=)"
	case errors.Is(err, poll.ErrNoAnswer):
		remedy = "see that ask= and report= are what this device expects"
	}
	return fmt.Sprintf("cannot read the %s: %v: %s", s.name(), err, remedy)
}

func (s *Source) dial(context.Context) (poll.Conn, error) {
	path := s.set.Path
	if s.set.USB != "" {
		all, err := Find(s.set.sys)
		if err != nil {
			return nil, err
		}
		path = ""
		for _, d := range all {
			switch {
			case !d.is(s.set.USB):
			case path != "":
				return nil, errAlike
			default:
				path = d.Path
			}
		}
		if path == "" {
			return nil, errMissing
		}
	}
	rw, err := s.set.open(path)
	if err != nil {
		return nil, err
	}
	return &conn{rw: rw, set: s.set, buf: make([]byte, reportMax)}, nil
}

// conn is an open device.
type conn struct {
	rw   io.ReadWriteCloser
	set  Settings
	buf  []byte
	last time.Time // of the last reading
}

// Ask returns the next reading that is due.
func (c *conn) Ask(ctx context.Context) (poll.Answer, error) {
	stop := context.AfterFunc(ctx, func() { c.rw.Close() }) // ends a blocked Read
	defer stop()
	if c.set.Layout.Ask != nil {
		select {
		case <-ctx.Done():
			return poll.Answer{}, ctx.Err()
		case <-time.After(time.Until(c.last.Add(c.set.Every))):
		}
		if _, err := c.rw.Write(c.set.Layout.Ask); err != nil {
			return poll.Answer{}, err
		}
	}
	end := time.Now().Add(answerTime)
	for {
		report, err := c.report(end)
		if err != nil {
			return poll.Answer{}, err
		}
		due := c.set.Layout.Ask != nil || time.Since(c.last) >= c.set.Every
		if !c.set.Layout.wants(report) || !due {
			if time.Now().After(end) {
				return poll.Answer{}, poll.ErrNoAnswer
			}
			continue
		}
		c.last = time.Now()
		a := poll.Answer{Raw: fmt.Sprintf("% x", report[:min(len(report), 64)])}
		a.C, a.Fault = c.set.Layout.read(report)
		return a, nil
	}
}

// report reads one report: the kernel hands out one a Read.
func (c *conn) report(end time.Time) ([]byte, error) {
	if d, ok := c.rw.(interface{ SetReadDeadline(time.Time) error }); ok {
		d.SetReadDeadline(end) // a node that cannot time out blocks until it is closed
	}
	n, err := c.rw.Read(c.buf)
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		return nil, poll.ErrNoAnswer
	case err != nil:
		return nil, err
	case n == 0:
		return nil, io.ErrUnexpectedEOF
	}
	return c.buf[:n], nil
}

// Close closes the device.
func (c *conn) Close() error { return c.rw.Close() }
