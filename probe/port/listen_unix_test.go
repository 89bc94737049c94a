//go:build unix

package port

import (
	"errors"
	"strings"
	"testing"
	"time"

	"boildown/probe/probetest"
)

func TestListen(t *testing.T) {
	probetest.LeavesNothing(t)
	cable := probetest.NewCable(t)
	cable.Send("2.4 C\r\n" + strings.Repeat("T=112.4 C\r\n", 5) + "\x1b[31mbeep\x07\r\n")
	all, err := Listen(t.Context(), cable.Path(), []int{9600, 115200}, 200*time.Millisecond)
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != 1 {
		t.Fatalf("listened at %d speeds, want to stop at the first that reads", len(all))
	}
	h := all[0]
	if h.Baud != 9600 || !h.OK || h.Guess.C != 112.4 || !h.Guess.Sure {
		t.Errorf("heard %+v", h)
	}
	if len(h.Lines) != 6 || strings.ContainsAny(strings.Join(h.Lines, ""), "\x1b\x07\r\n") {
		t.Errorf("lines %q, want 6 fit for a terminal", h.Lines)
	}
}

func TestListen_silent(t *testing.T) {
	probetest.LeavesNothing(t)
	cable := probetest.NewCable(t)
	all, err := Listen(t.Context(), cable.Path(), []int{9600, 4800}, 20*time.Millisecond)
	if err != nil || len(all) != 2 || all[0].Bytes != 0 || all[0].OK {
		t.Errorf("silent port: %+v, %v", all, err)
	}
	if _, err := Listen(t.Context(), "/dev/no-such-probe", nil, 0); !errors.Is(err, ErrNotFound) {
		t.Errorf("missing port: %v", err)
	}
}
