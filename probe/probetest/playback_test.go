package probetest

import (
	"context"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
)

func TestPlayback(t *testing.T) {
	for _, row := range []struct {
		name string
		life time.Duration
		want int
		err  string
	}{
		{"to its end", 4 * time.Second, 3, ""},
		{"stopped early", 2500 * time.Millisecond, 2, "1 of 3 steps left"},
	} {
		t.Run(row.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				p := &Playback{Steps: Readings(time.Second, 112.3, 112.4, 112.5)}
				ctx, cancel := context.WithTimeout(t.Context(), row.life)
				defer cancel()
				start := time.Now()
				var got []probe.Reading
				err := p.Run(ctx, func() time.Duration { return time.Since(start) }, func(e probe.Event) { got = append(got, e.Reading) })
				if (err == nil) != (row.err == "") || err != nil && !strings.Contains(err.Error(), row.err) {
					t.Errorf("error %v, want %q", err, row.err)
				}
				if len(got) != row.want || len(p.Left()) != 3-row.want {
					t.Fatalf("%d played, %d left", len(got), len(p.Left()))
				}
				for i, r := range got {
					if late := r.At - time.Duration(i+1)*time.Second; late < 0 || late > 100*time.Millisecond {
						t.Errorf("step %d played at %v", i, r.At)
					}
				}
			})
		})
	}
}
