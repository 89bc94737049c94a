package main

import (
	"context"
	"strconv"
	"strings"
	"sync"
	"time"

	"boildown/probe"
	"boildown/probe/sysfs"
)

// sided is a probe with other channels beside the pot's: further numbers in the
// same lines, or probes of their own.
type sided struct {
	source
	same   []sideFormat
	others []sideProbe
}

type sideFormat struct {
	name   string
	format probe.Format
}

type sideProbe struct {
	name string
	source
}

// withSides adds the channels of --also to the pot's source.
func (f *sourceFlags) withSides(pot source) (source, error) {
	if f.also == "" {
		return pot, nil
	}
	const hint = "write it like --also room=field:2, --also room=key:air or --also second=/dev/ttyUSB1, more than one behind commas"
	s := sided{source: pot}
	seen := map[string]bool{}
	for _, one := range strings.Split(f.also, ",") {
		name, where, ok := strings.Cut(strings.TrimSpace(one), "=")
		switch {
		case !ok || where == "":
			return nil, usagef(hint, "--also %q names no channel", one)
		case !probeName.MatchString(name) || seen[name] || name == "pot":
			return nil, usagef(hint, "%q cannot be the name of a further channel: take small letters, digits and hyphens, each name once", name)
		case where == f.probe:
			return nil, usagef(hint, "--also %s is the pot's own probe: choose a field or a key of it", one)
		}
		seen[name] = true
		format := probe.Format{Unit: f.unit, Sep: f.sep, Comma: f.comma}
		kind, what, _ := strings.Cut(where, ":")
		switch kind {
		case "field":
			n, err := strconv.Atoi(what)
			if err != nil || n < 1 || n > 100 {
				return nil, usagef(hint, "--also %s: %q is no field: the first is 1", one, what)
			}
			format.Field = n
			s.same = append(s.same, sideFormat{name, format})
		case "key":
			if what == "" {
				return nil, usagef(hint, "--also %s says no key", one)
			}
			format.Key = what
			s.same = append(s.same, sideFormat{name, format})
		default:
			other := sourceFlags{probe: where, baud: f.baud, frame: f.frame, unit: f.unit}
			if where == "-" || where == "sim" {
				return nil, usagef(hint, "--also %s: that cannot be a channel beside a real pot", one)
			}
			src, err := other.openPort()
			if err != nil {
				return nil, err
			}
			s.others = append(s.others, sideProbe{name, src})
		}
	}
	return s, nil
}

// Run runs the pot's probe and all others. The pot's word alone says when it is
// over.
func (s sided) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	ctx, cancel := context.WithCancel(ctx)
	var others []*probe.Errand
	defer func() {
		cancel()
		probe.WaitAll(others) // the fault of one ends all
	}()
	var one sync.Mutex // emit hears one goroutine at a time
	hand := func(e probe.Event) {
		one.Lock()
		defer one.Unlock()
		emit(e)
	}
	for _, o := range s.others {
		others = append(others, probe.Send(func() error {
			whole := false
			defer func() {
				if !whole {
					cancel()
				}
			}()
			err := o.source.Run(ctx, now, func(e probe.Event) {
				e.Channel, e.Link = o.name, probe.LinkSame
				hand(e)
			})
			if err != nil && ctx.Err() == nil {
				hand(probe.Event{Channel: o.name, Note: err.Error()})
			}
			whole = true
			return nil
		}))
	}
	return s.source.Run(ctx, now, func(e probe.Event) {
		hand(e)
		if !e.HasReading || e.Raw == "" {
			return
		}
		for _, f := range s.same {
			c, fault := f.format.Parse(e.Raw)
			if fault == probe.FaultEmpty || fault == probe.FaultGarbled {
				continue // not in this line
			}
			hand(probe.Event{Channel: f.name, Reading: probe.Reading{At: e.Reading.At, C: c, Fault: fault}, HasReading: true})
		}
	})
}

// refuseMelt refuses a kernel sensor whose range ends below melting sugar,
// before the hob is lit. Root is "" for /sys. A cook who melts without the
// probe says so.
func refuseMelt(name, root string, without bool) error {
	scheme, _, _ := strings.Cut(name, ":")
	if without || scheme != "w1" && scheme != "hwmon" && scheme != "iio" {
		return nil
	}
	all, err := sysfs.Find(root)
	if err != nil {
		return nil // its source says what is wrong, and waits for it
	}
	for _, s := range all {
		if s.ID != name {
			continue
		}
		if why, refused := s.RefuseMelt(); refused {
			return usagef("--no-melt takes it all the same: for sugar that is melted by another probe, or dissolved and never hotter than that", "%s", why)
		}
	}
	return nil
}
