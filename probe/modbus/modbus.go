package modbus

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net"
	"strings"
	"time"

	"boildown/probe"
	"boildown/probe/poll"
)

// DefaultPort is the TCP port that the standard names.
const DefaultPort = "502"

// answerTime is how long an instrument may take: the serial line's usual 1 s.
const answerTime = time.Second

// Settings says which register of which instrument to read, and how.
type Settings struct {
	Name     string                                                // of the instrument in messages, such as its address
	Dial     func(ctx context.Context) (io.ReadWriteCloser, error) // opens the way to it; [TCP] or a serial port's
	Serial   bool                                                  // frames of the serial line (RTU), not of Modbus TCP
	Address  byte                                                  // of the instrument on its line, 1–247; 0 for 1
	Function byte                                                  // 3 or 4; 0 for 4
	Register uint16                                                // as on the wire, counted from 0; see [ParseRegister]
	Type     Type
	Order    Order
	Scale    float64 // degrees of one count, such as 0.1; 0 for 1
	Unit     probe.Unit
	Every    time.Duration // from one question to the next; 0 for 500 ms

	limit time.Duration
}

// TCP returns a dial function for an address with or without a port.
func TCP(address string) func(ctx context.Context) (io.ReadWriteCloser, error) {
	if _, _, err := net.SplitHostPort(address); err != nil {
		address = net.JoinHostPort(strings.Trim(address, "[]"), DefaultPort)
	}
	return func(ctx context.Context) (io.ReadWriteCloser, error) {
		d := net.Dialer{Timeout: 3 * time.Second}
		return d.DialContext(ctx, "tcp", address)
	}
}

// Source reads one register.
type Source struct{ set Settings }

// New checks s and returns the source.
func New(s Settings) (*Source, error) {
	switch {
	case s.Dial == nil:
		return nil, errors.New("modbus: no way to the instrument is given: name its address or its serial port")
	case s.Function != 0 && s.Function != readHolding && s.Function != readInput:
		return nil, fmt.Errorf("modbus: function %d does not read a number: take 3 for holding and 4 for input registers", s.Function)
	case s.Serial && s.Address > 247:
		return nil, fmt.Errorf("modbus: there is no address %d on a serial line: they run from 1 to 247", s.Address)
	case s.Type > Float32 || s.Order > DCBA:
		return nil, errors.New("modbus: unknown register type or byte order")
	case math.IsNaN(s.Scale) || math.IsInf(s.Scale, 0) || s.Scale < 0:
		return nil, fmt.Errorf("modbus: %g is no scale: give the degrees of one count, such as 0.1", s.Scale)
	}
	if s.Address == 0 && s.Serial {
		s.Address = 1
	}
	if s.Function == 0 {
		s.Function = readInput
	}
	if s.Scale == 0 {
		s.Scale = 1
	}
	if s.limit == 0 {
		s.limit = answerTime
	}
	return &Source{set: s}, nil
}

// Run reads until ctx ends.
func (s *Source) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	return poll.Loop{Every: s.set.Every, Open: s.open, Note: s.note}.Run(ctx, now, emit)
}

func (s *Source) note(err error) string {
	var refused *ExceptionError
	remedy := "see that it is switched on and reachable, and that no other program uses it"
	switch {
	case errors.As(err, &refused) && refused.lasting():
		remedy = "look the register up in its manual, whether it is an input or a holding register, and whether the manual counts from 0 or 1"
	case errors.Is(err, poll.ErrNoAnswer) && s.set.Serial:
		remedy = "see that address, speed and frame agree with its settings, and that A and B are not swapped"
	case errors.Is(err, poll.ErrNoAnswer):
		remedy = "see that its unit number is right"
	}
	return fmt.Sprintf("cannot read register %d of the instrument at %s: %s: %s", s.set.Register, s.set.Name, poll.Plain(err), remedy)
}

func (s *Source) open(ctx context.Context) (poll.Conn, error) {
	rw, err := s.set.Dial(ctx)
	if err != nil {
		return nil, err
	}
	return &conn{rw: rw, set: s.set}, nil
}

// conn is an open way to the instrument.
type conn struct {
	rw  io.ReadWriteCloser
	set Settings
	id  uint16 // of the last question, on TCP
}

// Ask reads the register. A question that gets no answer, or a broken one, is
// asked once more: lines in a kitchen are noisy.
func (c *conn) Ask(ctx context.Context) (poll.Answer, error) {
	data, err := c.read(ctx)
	if errors.Is(err, poll.ErrNoAnswer) || errors.Is(err, errCheck) {
		data, err = c.read(ctx)
	}
	var refused *ExceptionError
	switch {
	case err == nil:
		return c.answer(data), nil
	case errors.Is(err, errCheck), errors.Is(err, errForeign) && c.set.Serial:
		return poll.Answer{Fault: probe.FaultGarbled}, nil
	case errors.As(err, &refused) && !refused.lasting():
		return poll.Answer{Fault: probe.FaultReported, Raw: err.Error()}, nil
	}
	return poll.Answer{}, err
}

func (c *conn) answer(data []byte) poll.Answer {
	a := poll.Answer{Raw: fmt.Sprintf("% x", data)}
	var v float64
	if v, a.Fault = c.set.Type.number(data, c.set.Order); a.Fault != probe.FaultNone {
		return a
	}
	v *= c.set.Scale
	a.C = probe.Celsius(v)
	if c.set.Unit == probe.UnitF {
		a.C = probe.Fahrenheit(v)
	}
	if !(a.C >= probe.Coldest && a.C <= probe.Hottest) {
		a.C, a.Fault = 0, probe.FaultImpossible // a wrong register, as a rule
	}
	return a
}

// read asks once and returns the bytes of the registers.
func (c *conn) read(ctx context.Context) ([]byte, error) {
	count := c.set.Type.count()
	pdu := request(c.set.Function, c.set.Register, count)
	var body []byte
	var err error
	if c.set.Serial {
		body, err = c.exchange(ctx, rtuFrame(c.set.Address, pdu), rtuLen)
		if err == nil {
			body, err = rtuBody(body, c.set.Address)
		}
	} else {
		c.id++
		body, err = c.exchange(ctx, tcpFrame(c.id, c.set.Address, pdu), tcpLen)
		if err == nil {
			body, err = tcpBody(body, c.id, c.set.Address)
		}
	}
	if err != nil {
		return nil, err
	}
	return registers(body, c.set.Function, count)
}

func (c *conn) exchange(ctx context.Context, frame []byte, length func([]byte) int) ([]byte, error) {
	return poll.Exchange(ctx, c.rw, frame, c.set.limit, func(b []byte) bool {
		n := length(b)
		return n > 0 && len(b) >= n
	})
}

// Close ends the connection.
func (c *conn) Close() error { return c.rw.Close() }
