package ui

import (
	"testing"
	"time"

	"boildown/probe"
)

// FuzzTyped: whatever is typed for a target or a moment is one within bounds,
// or is refused in words that can be shown.
func FuzzTyped(f *testing.F) {
	for _, s := range []string{"235", "112,8", "235 F", "1e3", "nan", "-inf", "12:30", "1:02:30", "65535:65535:65535", "::", "\x1b", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, u := range []probe.Unit{probe.UnitF, probe.UnitC} {
			c, err := targetOf(s, u)
			if err == nil && !(c >= lowestTarget && c <= highestTarget) {
				t.Errorf("the target %q is %v", s, c)
			}
			if err != nil && Clean(err.Error()) != err.Error() {
				t.Errorf("the target's error is %q", err)
			}
		}
		at, err := parseClock(s)
		if err == nil && (at < 0 || at > 7000*24*time.Hour) {
			t.Errorf("%q is %v", s, at)
		}
		if err != nil && Clean(err.Error()) != err.Error() {
			t.Errorf("the moment's error is %q", err)
		}
	})
}
