package port

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"testing/synctest"
	"time"

	"boildown/probe"
)

func runStream(t *testing.T, in io.Reader) (events []probe.Event, err error) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		err = NewStream(in, "standard input", probe.Format{}).Run(t.Context(),
			func() time.Duration { return time.Since(start) }, func(e probe.Event) { events = append(events, e) })
	})
	return events, err
}

func TestStream(t *testing.T) {
	events, err := runStream(t, iotest.OneByteReader(strings.NewReader("112.3\n112.4 C\r\nOPEN\n112.")))
	if err != nil {
		t.Fatal(err)
	}
	if len(events) != 5 {
		t.Fatalf("%d events: %+v", len(events), events)
	}
	if events[0].Link != probe.LinkUp || events[1].Reading.C != 112.3 || events[2].Reading.C != 112.4 || events[3].Reading.Fault != probe.FaultOpen {
		t.Errorf("events %+v", events)
	}
	if end := events[4]; end.Link != probe.LinkLost || end.Reading.Fault != probe.FaultGone || !strings.Contains(end.Note, "has ended") {
		t.Errorf("the end of the stream: %+v", end)
	}
}

func TestStream_broken(t *testing.T) {
	why := errors.New("broken pipe")
	events, err := runStream(t, io.MultiReader(strings.NewReader("112.3\n"), iotest.ErrReader(why)))
	if !errors.Is(err, why) || events[len(events)-1].Link != probe.LinkLost {
		t.Errorf("%v, %+v", err, events)
	}
}

func TestStream_stopsWhileBlocked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, w := io.Pipe()
		ctx, cancel := context.WithTimeout(t.Context(), 7*time.Second)
		defer cancel()
		start := time.Now()
		var notes []string
		err := NewStream(r, "standard input", probe.Format{}).Run(ctx,
			func() time.Duration { return time.Since(start) },
			func(e probe.Event) {
				if e.Note != "" {
					notes = append(notes, e.Note)
				}
			})
		if err != nil || time.Since(start) != 7*time.Second {
			t.Errorf("ended after %v with %v", time.Since(start), err)
		}
		if len(notes) != 1 || !strings.Contains(notes[0], "nothing has come from standard input for 5 s") {
			t.Errorf("notes %q", notes)
		}
		w.Close() // ends the goroutine that reads
	})
}
