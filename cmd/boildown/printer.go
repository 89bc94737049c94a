package main

import (
	"fmt"
	"io"
)

// printer writes plain lines behind a queue, so that a reader who does not
// read holds nothing up. What the queue cannot hold is counted and said.
type printer struct {
	out     io.Writer
	lines   chan string
	dropped int
}

func newPrinter(out io.Writer) *printer {
	return &printer{out: out, lines: make(chan string, 1024)}
}

// Write queues one line. It is called from one goroutine.
func (p *printer) Write(b []byte) (int, error) {
	s := string(b)
	if p.dropped > 0 {
		s = fmt.Sprintf("(%d lines were not read in time)\n%s", p.dropped, s)
	}
	select {
	case p.lines <- s:
		p.dropped = 0
	default:
		p.dropped++
	}
	return len(b), nil
}

// run writes until done is closed and the queue is empty, or until out takes
// no more, and returns why.
func (p *printer) run(done <-chan struct{}) error {
	for {
		select {
		case s := <-p.lines:
			if _, err := io.WriteString(p.out, s); err != nil {
				return err
			}
			continue
		default:
		}
		select {
		case s := <-p.lines:
			if _, err := io.WriteString(p.out, s); err != nil {
				return err
			}
		case <-done:
			return p.rest()
		}
	}
}

// rest writes what is left in the queue.
func (p *printer) rest() error {
	for {
		select {
		case s := <-p.lines:
			if _, err := io.WriteString(p.out, s); err != nil {
				return err
			}
		default:
			return nil
		}
	}
}
