package main

import (
	"context"
	"strings"
	"testing"
)

func TestStayAwake(t *testing.T) {
	needShell(t)
	for _, c := range []struct {
		name string
		argv []string
		want string
	}{
		{"no way is known", nil, "no way is known"},
		{"not installed", []string{"no-such-program-here"}, "executable file not found"},
		{"refused", []string{"sh", "-c", "exit 3"}, "exit status 3"},
		{"ended", []string{"true"}, "has ended"},
	} {
		t.Run(c.name, func(t *testing.T) {
			said := ""
			stayAwake(t.Context(), c.argv, func(note string) { said = note })
			if !strings.HasPrefix(said, "This machine may fall asleep") || !strings.Contains(said, c.want) {
				t.Errorf("it says %q, want %q in it", said, c.want)
			}
		})
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	stayAwake(ctx, []string{"cat"}, func(note string) { t.Errorf("at the end of a cook it says %q", note) })
}
