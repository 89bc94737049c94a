package port

import (
	"context"
	"fmt"
	"io"
	"time"

	"boildown/probe"
)

// Stream reads lines from standard input, a named pipe or any other reader: a
// probe for everything that a script can ask.
type Stream struct {
	in     io.Reader
	name   string
	format probe.Format
}

// NewStream returns the source. Name is what notes call it, such as "standard
// input".
func NewStream(in io.Reader, name string, f probe.Format) *Stream {
	return &Stream{in: in, name: name, format: f}
}

// chunk is what one Read brought.
type chunk struct {
	b   []byte
	err error
}

// Run reads until ctx ends or the stream does, and returns nil for both; the
// end of the stream is told as a lost link first. An unfinished last line is
// not read: it may be half a number. A Read that blocks cannot be ended from
// here: its goroutine ends with the stream.
func (s *Stream) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	tell := probe.Teller{Now: now, Emit: emit}
	in := probe.Intake{
		Format: s.format, Name: s.name,
		Remedy: "see that what feeds it prints text, one reading a line",
	}
	chunks := make(chan chunk)
	reading := probe.Send(func() error {
		s.read(ctx, chunks)
		return nil
	})
	tell.Up("")
	in.Begin(now(), false)
	tick := time.NewTicker(readTimeout)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-reading.Done(): // its last chunk has been taken: this goes on with its panic
			return reading.Wait()
		case <-tick.C:
			in.Tick(now(), emit)
		case c := <-chunks:
			in.Feed(c.b, now(), emit)
			if c.err == nil {
				continue
			}
			if c.err == io.EOF {
				tell.Lost(fmt.Sprintf("%s has ended, and the readings with it: start what feeds it again, together with this program", s.name))
				return nil
			}
			tell.Lost(fmt.Sprintf("cannot read %s any more: %v", s.name, c.err))
			return fmt.Errorf("reading %s: %w", s.name, c.err)
		}
	}
}

func (s *Stream) read(ctx context.Context, to chan<- chunk) {
	buf := make([]byte, 4096)
	for {
		n, err := s.in.Read(buf)
		c := chunk{append([]byte(nil), buf[:n]...), err}
		select {
		case to <- c:
		case <-ctx.Done():
			return
		}
		if err != nil {
			return
		}
	}
}
