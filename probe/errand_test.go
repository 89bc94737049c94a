package probe

import (
	"errors"
	"strings"
	"testing"
)

func TestErrand(t *testing.T) {
	failed := errors.New("failed")
	if err := Send(func() error { return failed }).Wait(); err != failed {
		t.Errorf("Wait returned %v", err)
	}
}

// A panic comes to whoever waits, with the stack on which it happened, also
// through a second errand.
func TestErrand_panic(t *testing.T) {
	defer func() {
		p, ok := recover().(*Panic)
		if !ok || p.Value != "broken" || !strings.Contains(p.Stack, "breaks") {
			t.Errorf("Wait raised %v", p)
		}
	}()
	Send(func() error { return Send(breaks).Wait() }).Wait()
	t.Error("Wait returned")
}

func breaks() error { panic("broken") }
