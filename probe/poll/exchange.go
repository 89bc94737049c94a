package poll

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"
)

// ErrNoAnswer means that the instrument took the question and stayed silent.
var ErrNoAnswer = errors.New("it does not answer")

// answerMax bounds one answer, in bytes.
const answerMax = 4096

// Exchange sends a question and reads until done says that the answer is
// whole, for the limit at most. Bytes that were waiting before the question
// are thrown away where the way in can do that. Reads that time out with 0
// bytes and no error, as serial ports do, are waited through.
func Exchange(ctx context.Context, rw io.ReadWriter, question []byte, limit time.Duration, done func([]byte) bool) ([]byte, error) {
	if d, ok := rw.(deadliner); ok {
		stop := context.AfterFunc(ctx, func() { d.SetDeadline(time.Unix(1, 0)) })
		defer stop()
	}
	if err := Send(ctx, rw, question, limit); err != nil {
		return nil, err
	}
	end := time.Now().Add(limit)
	var got []byte
	buf := make([]byte, 256)
	for {
		n, err := rw.Read(buf)
		got = append(got, buf[:n]...)
		switch {
		case n > 0 && done(got):
			return got, nil
		case ctx.Err() != nil:
			return got, ctx.Err()
		case isTimeout(err):
			return got, ErrNoAnswer
		case err != nil:
			return got, err
		case len(got) > answerMax:
			return got[:answerMax], fmt.Errorf("it sends without an end")
		case time.Now().After(end):
			return got, ErrNoAnswer
		}
	}
}

// Send sends without waiting for an answer. The limit holds on a network
// connection also for what is read after it.
func Send(ctx context.Context, rw io.ReadWriter, command []byte, limit time.Duration) error {
	if f, ok := rw.(interface{ ResetInputBuffer() error }); ok {
		f.ResetInputBuffer()
	}
	if d, ok := rw.(deadliner); ok {
		drain(rw, d)
		if err := d.SetDeadline(time.Now().Add(limit)); err != nil {
			return err
		}
		if ctx.Err() != nil { // it ended before the deadline above was set
			return ctx.Err()
		}
	}
	_, err := rw.Write(command)
	if isTimeout(err) {
		return ErrNoAnswer
	}
	return err
}

// drain throws away what waits on a network connection: a late answer to the
// question before, which would shift all answers after it by one.
func drain(r io.Reader, d deadliner) {
	buf := make([]byte, 256)
	for range answerMax / len(buf) {
		d.SetDeadline(time.Now().Add(time.Millisecond))
		if n, err := r.Read(buf); n == 0 || err != nil {
			return
		}
	}
}

// deadliner is a network connection; serial ports time out by themselves.
type deadliner interface{ SetDeadline(time.Time) error }

func isTimeout(err error) bool {
	var t interface{ Timeout() bool }
	return errors.As(err, &t) && t.Timeout()
}
