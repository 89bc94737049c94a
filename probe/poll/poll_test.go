package poll

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
)

// script is a connection that answers as it is told.
type script struct {
	ask    func(n int) (Answer, error)
	n      int
	closed *int
}

func (s *script) Ask(context.Context) (Answer, error) { s.n++; return s.ask(s.n) }
func (s *script) Close() error                        { *s.closed++; return nil }

func TestLoop(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		opened, closed := 0, 0
		l := Loop{
			Every: time.Second,
			Hello: "mind the range",
			Note:  func(err error) string { return "it said " + err.Error() },
			Open: func(context.Context) (Conn, error) {
				opened++
				if opened == 2 || opened == 3 {
					return nil, errors.New("not there")
				}
				return &script{closed: &closed, ask: func(n int) (Answer, error) {
					time.Sleep(300 * time.Millisecond) // a slow instrument
					if opened == 1 && n == 3 {
						return Answer{}, errors.New("ouch")
					}
					return Answer{C: probe.Celsius(100 + n), Raw: "x\x1b[1m"}, nil
				}}, nil
			},
		}
		ctx, cancel := context.WithTimeout(t.Context(), 6*time.Second)
		defer cancel()
		start := time.Now()
		var got []probe.Event
		if err := l.Run(ctx, func() time.Duration { return time.Since(start) }, func(e probe.Event) { got = append(got, e) }); err != nil {
			t.Fatal(err)
		}
		ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
		reading := func(at int, c probe.Celsius) probe.Event {
			return probe.Event{Reading: probe.Reading{At: ms(at), C: c}, HasReading: true, Raw: "x"}
		}
		want := []probe.Event{
			{Link: probe.LinkUp, Note: "mind the range"},
			reading(300, 101), reading(1300, 102),
			{Link: probe.LinkLost, Note: "it said ouch", HasReading: true, Reading: probe.Reading{At: ms(2300), Fault: probe.FaultGone}},
			{Note: "it said not there"},
			{Link: probe.LinkUp}, // at 2300 + 250 + 500 + 1000
			reading(4350, 101), reading(5350, 102),
		}
		if len(got) != len(want) {
			t.Fatalf("%d events, want %d: %+v", len(got), len(want), got)
		}
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("event %d: %+v\nwant %+v", i, got[i], want[i])
			}
		}
		if opened != 4 || closed != 2 {
			t.Errorf("opened %d, closed %d", opened, closed)
		}
	})
}
