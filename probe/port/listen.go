package port

import (
	"context"
	"time"

	"boildown/probe"
)

// UsualBauds are the speeds that [Listen] tries when none are given, likeliest
// first.
var UsualBauds = []int{9600, 115200, 57600, 38400, 19200, 4800}

// heardMax bounds the lines that one [Heard] keeps.
const heardMax = 50

// Heard is what came from a port at one speed.
type Heard struct {
	Baud  int
	Bytes int
	Lines []string // whole lines, made printable, at most 50
	Guess probe.Guess
	OK    bool // a temperature can be read; Guess says how
}

// Listen listens to the port for the time each at one speed after another,
// until one yields a temperature, and returns what was heard at each, the last
// one best. No bauds means [UsualBauds], no time 2 s. The board may reset when
// the port is opened. An error means that the port could not be opened at all;
// [Note] puts it in words.
func Listen(ctx context.Context, path string, bauds []int, each time.Duration) ([]Heard, error) {
	if len(bauds) == 0 {
		bauds = UsualBauds
	}
	if each <= 0 {
		each = 2 * time.Second
	}
	var all []Heard
	for _, baud := range bauds {
		h, err := listenAt(ctx, path, baud, each)
		if err != nil {
			return all, err
		}
		all = append(all, h)
		if h.OK || ctx.Err() != nil {
			break
		}
	}
	return all, nil
}

func listenAt(ctx context.Context, path string, baud int, each time.Duration) (Heard, error) {
	h := Heard{Baud: baud}
	p, err := New(Settings{Path: path, Baud: baud})
	if err != nil {
		return h, err
	}
	dev, err := p.open(path)
	if err != nil {
		return h, err
	}
	defer dev.Close()
	ctx, cancel := context.WithTimeout(ctx, each)
	defer cancel()
	stop := context.AfterFunc(ctx, func() { dev.Close() })
	defer stop()
	var lines []string
	var framer probe.Framer
	framer.Resync()
	buf := make([]byte, 256)
	for ctx.Err() == nil {
		n, err := dev.Read(buf)
		h.Bytes += n
		framer.Feed(buf[:n], func(line string) {
			if len(lines) < heardMax {
				lines = append(lines, line)
				h.Lines = append(h.Lines, probe.Printable(line))
			}
		})
		if err != nil && ctx.Err() == nil {
			return h, readError(path, err)
		}
	}
	h.Guess, h.OK = probe.Sniff(lines)
	return h, nil
}
