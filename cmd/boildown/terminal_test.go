package main

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// A terminal that takes the screen's end and then nothing does not keep the
// cook's last words, nor its end, waiting.
func TestLastWordsOnAFullTerminal(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		full, w := io.Pipe()
		defer full.Close()
		began := time.Now()
		status := report(w, hasten(&failure{err: errors.New("ended by signal"), hint: "go on", status: 7}))
		if took := time.Since(began); status != 7 || took != terminalPatience {
			t.Errorf("status %d after %v", status, took)
		}
	})
	var b strings.Builder
	if status := report(&b, hasten(hinted(errors.New("ended by signal"), "go on"))); status != statusFailed || b.String() != "boildown: ended by signal\nhint: go on\n" {
		t.Errorf("status %d, %q", status, &b)
	}
}
