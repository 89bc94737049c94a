package sessions

import (
	"fmt"
	"time"
)

// Status is how a recording stands.
type Status struct {
	Path     string
	Unsynced time.Duration // age of the oldest line that a power cut would take
	Err      error         // a [*Trouble] while the disk takes nothing, else nil
	Synced   int           // lines that are on the disk for good, the header among them
	Kept     int           // lines in memory alone or not synced yet
	Lost     int           // lines that found no room in memory either
}

// stuckAfter is how long a request to the disk may take before it is said.
const stuckAfter = 5 * time.Second

// Status returns how the recording stands.
func (r *Recorder) Status() Status {
	r.mu.Lock()
	defer r.mu.Unlock()
	s := Status{Path: r.path, Err: r.err, Synced: r.synced, Kept: len(r.lines), Lost: r.lost}
	if len(r.lines) > 0 {
		s.Unsynced = time.Since(r.lines[0].since)
	}
	if s.Err == nil && !r.busy.IsZero() && time.Since(r.busy) > stuckAfter {
		s.Err = troubleAt("writing to", r.path, errStuck)
	}
	return s
}

// Flush waits until all that was recorded so far is synced, at most limit,
// and reports whether it is. It is for the last moments of a program.
func (r *Recorder) Flush(limit time.Duration) bool {
	ch := make(chan struct{})
	r.mu.Lock()
	r.urgent = true
	r.flush = append(r.flush, ch)
	r.mu.Unlock()
	r.nudge()
	timer := time.NewTimer(limit)
	defer timer.Stop()
	select {
	case <-ch:
	case <-r.done:
	case <-timer.C:
	}
	return r.Status().Kept == 0
}

// closeLimit is how long Close waits for a disk in trouble.
const closeLimit = 5 * time.Second

// Close records the closing line and ends the recording. It waits a few
// seconds for a disk in trouble; its error says what is not on it then.
func (r *Recorder) Close(sum Summary) error {
	line, err := sealed(wireClose{K: "close", Summary: sum.stored()})
	if err != nil {
		line = nil // a summary is a cache: better none than no close
	}
	return r.end(line)
}

// Leave ends the recording without a closing line, as when the program stops
// in mid-cook and the batch may be continued.
func (r *Recorder) Leave() error { return r.end(nil) }

func (r *Recorder) end(line []byte) error {
	r.mu.Lock()
	if r.ending && r.fault == nil {
		r.mu.Unlock()
		return nil
	}
	if r.unsaid.count > 0 {
		r.addLocked(r.unsaid.line(), false, true)
	}
	if line != nil {
		r.addLocked(line, false, true)
	}
	r.ending = true
	r.mu.Unlock()
	r.nudge()
	timer := time.NewTimer(closeLimit)
	defer timer.Stop()
	select {
	case <-r.done:
	case <-timer.C:
	}
	s := r.Status()
	if s.Kept == 0 {
		return nil
	}
	cause := s.Err
	if cause == nil {
		cause = errStuck
	}
	t := *troubleAt("writing to", s.Path, cause)
	t.Words = fmt.Sprintf("the last %d lines of the batch are not saved: %s", s.Kept, t.Words)
	return &t
}
