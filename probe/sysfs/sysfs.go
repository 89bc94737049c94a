package sysfs

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"boildown/probe"
	"boildown/probe/poll"
)

var errMissing = errors.New("no such sensor")

// Settings says which sensor to read.
type Settings struct {
	ID    string        // as [Find] gives it
	Root  string        // "" for /sys
	Every time.Duration // between readings; 0 for 1 s on 1-wire and 500 ms elsewhere
}

// Source reads one sensor.
type Source struct {
	set Settings
}

// New checks s and returns the source. The sensor may be plugged in later.
func New(s Settings) (*Source, error) {
	bus, rest, ok := strings.Cut(s.ID, ":")
	if !ok || rest == "" || bus != "w1" && bus != "hwmon" && bus != "iio" {
		return nil, fmt.Errorf("sysfs: %q is no kernel sensor: write w1:, hwmon: or iio: and its name, as \"boildown probes\" lists them", s.ID)
	}
	if s.Every == 0 && bus == "w1" {
		s.Every = time.Second // a measurement takes 750 ms at 12 bits (DS18B20 data sheet)
	}
	return &Source{set: s}, nil
}

// Run reads the sensor until ctx ends. It looks for it by name each time it
// was lost, since the kernel numbers its devices anew.
func (s *Source) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	l := poll.Loop{
		Every: s.set.Every,
		Note:  func(err error) string { return explain(s.set.ID, err) },
		Open: func(context.Context) (poll.Conn, error) {
			found, err := s.find()
			return conn{found}, err
		},
	}
	if found, err := s.find(); err == nil {
		l.Hello, _ = found.RefuseMelt()
	}
	return l.Run(ctx, now, emit)
}

func (s *Source) find() (Sensor, error) {
	all, err := Find(s.set.Root)
	if err != nil {
		return Sensor{}, err
	}
	for _, f := range all {
		if f.ID == s.set.ID {
			return f, nil
		}
	}
	return Sensor{}, errMissing
}

// conn is a sensor as the loop sees it; there is nothing to hold open.
type conn struct{ Sensor }

func (c conn) Ask(context.Context) (poll.Answer, error) { return c.read() }
func (c conn) Close() error                             { return nil }
