package scpi

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"strconv"
	"strings"
	"time"

	"boildown/probe"
	"boildown/probe/poll"
)

// DefaultQuery asks for a temperature with whatever sensor is set up.
const DefaultQuery = "MEAS:TEMP?"

// DefaultPort is the TCP port that instruments listen on for plain SCPI.
const DefaultPort = "5025"

// answerTime is how long an instrument may take: a slow integration over 100
// mains cycles lasts 2 s.
const answerTime = 3 * time.Second

// Settings says which instrument to ask, and what.
type Settings struct {
	Name  string                                                // of the instrument in messages, such as its address
	Dial  func(ctx context.Context) (io.ReadWriteCloser, error) // opens the way to it; [TCP] or a serial port's
	Setup []string                                              // commands sent first, such as "CONF:TEMP TC,K"
	Query string                                                // "" for DefaultQuery
	Field int                                                   // of an answer with commas; 0 for the first
	Unit  Unit                                                  // used if the instrument does not tell its own
	Every time.Duration                                         // from one question to the next; 0 for 500 ms

	limit time.Duration
}

// TCP returns a dial function for an address with or without a port.
func TCP(address string) func(ctx context.Context) (io.ReadWriteCloser, error) {
	if _, _, err := net.SplitHostPort(address); err != nil {
		address = net.JoinHostPort(strings.Trim(address, "[]"), DefaultPort)
	}
	return func(ctx context.Context) (io.ReadWriteCloser, error) {
		d := net.Dialer{Timeout: answerTime}
		return d.DialContext(ctx, "tcp", address)
	}
}

// Source asks one instrument.
type Source struct{ set Settings }

// New checks s and returns the source.
func New(s Settings) (*Source, error) {
	if s.Dial == nil {
		return nil, errors.New("scpi: no way to the instrument is given: name its address or its serial port")
	}
	if s.Query == "" {
		s.Query = DefaultQuery
	}
	if !strings.Contains(s.Query, "?") {
		return nil, fmt.Errorf("scpi: %q asks for nothing: a query ends its header with a question mark, as %s does", s.Query, DefaultQuery)
	}
	for _, c := range append([]string{s.Query}, s.Setup...) {
		if strings.ContainsAny(c, "\r\n") {
			return nil, fmt.Errorf("scpi: %q holds a line end: give one command at a time", c)
		}
	}
	if s.Field < 0 {
		return nil, fmt.Errorf("scpi: there is no field %d: fields count from 1", s.Field)
	}
	s.Field = max(s.Field, 1)
	if s.limit == 0 {
		s.limit = answerTime
	}
	return &Source{set: s}, nil
}

// Run asks until ctx ends.
func (s *Source) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	return poll.Loop{Every: s.set.Every, Open: s.open, Note: s.note}.Run(ctx, now, emit)
}

// RefusedError is the instrument's own word on what is wrong with a command.
type RefusedError struct {
	Command string
	Code    int    // negative codes are those of SCPI-1999 volume 2, chapter 21
	Text    string // the instrument's words
}

func (e *RefusedError) Error() string {
	return fmt.Sprintf("it refuses %q with %d, %q", e.Command, e.Code, e.Text)
}

func (s *Source) note(err error) string {
	var refused *RefusedError
	var remedy string
	switch {
	case errors.As(err, &refused):
		remedy = "take the query for a temperature from its manual"
	case errors.Is(err, poll.ErrNoAnswer):
		remedy = "see that its remote interface is on and set to SCPI, on a serial line also that speed and frame agree"
	default:
		remedy = "see that it is switched on and reachable, and that no other program uses it"
	}
	return fmt.Sprintf("cannot read the instrument at %s: %s: %s", s.set.Name, probe.Printable(poll.Plain(err)), remedy)
}

// open connects, learns who answers and in which unit.
func (s *Source) open(ctx context.Context) (poll.Conn, error) {
	rw, err := s.set.Dial(ctx)
	if err != nil {
		return nil, err
	}
	c := &conn{rw: rw, set: s.set}
	if err := c.begin(ctx); err != nil {
		rw.Close()
		return nil, err
	}
	return c, nil
}

// conn is an instrument that has answered.
type conn struct {
	rw  io.ReadWriteCloser
	set Settings
}

func (c *conn) begin(ctx context.Context) error {
	if _, err := c.ask(ctx, "*IDN?"); err != nil {
		return err
	}
	if err := c.send(ctx, "*CLS"); err != nil { // errors of whoever was here before
		return err
	}
	for _, command := range c.set.Setup {
		if err := c.send(ctx, command); err != nil {
			return err
		}
		if err := c.trouble(ctx, command); err != nil {
			return err
		}
	}
	// Not every instrument has the unit command; then the setting holds, and
	// the complaint in its queue is cleared away.
	limit := c.set.limit
	c.set.limit = limit / 3
	answer, err := c.ask(ctx, "UNIT:TEMP?")
	c.set.limit = limit
	if err == nil {
		if u, ok := unitFor(answer); ok {
			c.set.Unit = u
		}
	} else if !errors.Is(err, poll.ErrNoAnswer) {
		return err
	}
	return c.send(ctx, "*CLS")
}

// Ask asks for the temperature once.
func (c *conn) Ask(ctx context.Context) (poll.Answer, error) {
	answer, err := c.ask(ctx, c.set.Query)
	if errors.Is(err, poll.ErrNoAnswer) {
		// A query that is not understood gets no answer; the queue says why.
		if why := c.trouble(ctx, c.set.Query); why != nil {
			err = why
		}
	}
	if err != nil {
		return poll.Answer{}, err
	}
	a := poll.Answer{Raw: answer}
	a.C, a.Fault = parse(answer, c.set.Field, c.set.Unit)
	if a.Fault == probe.FaultGarbled {
		var refused *RefusedError
		if why := c.trouble(ctx, c.set.Query); errors.As(why, &refused) {
			return a, why
		}
	}
	return a, nil
}

// trouble returns the oldest error in the instrument's queue, nil for none.
func (c *conn) trouble(ctx context.Context, command string) error {
	answer, err := c.ask(ctx, "SYST:ERR?")
	if err != nil {
		return err
	}
	number, text, _ := strings.Cut(answer, ",")
	code, err := strconv.Atoi(strings.TrimSpace(number))
	if err != nil {
		return fmt.Errorf("it answers %q to SYST:ERR?", answer)
	}
	if code == 0 {
		return nil
	}
	return &RefusedError{Command: command, Code: code, Text: strings.Trim(strings.TrimSpace(text), `"`)}
}

func (c *conn) send(ctx context.Context, command string) error {
	return poll.Send(ctx, c.rw, []byte(command+"\n"), c.set.limit)
}

func (c *conn) ask(ctx context.Context, query string) (string, error) {
	got, err := poll.Exchange(ctx, c.rw, []byte(query+"\n"), c.set.limit, func(b []byte) bool { return bytes.IndexByte(b, '\n') >= 0 })
	if err != nil {
		return "", err
	}
	line, _, _ := bytes.Cut(got, []byte("\n"))
	return strings.TrimSpace(string(line)), nil
}

// Close ends the connection.
func (c *conn) Close() error { return c.rw.Close() }
