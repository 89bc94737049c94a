package sessions

import (
	"io"
	"time"
)

const (
	syncEvery  = time.Second
	retryEvery = time.Second
)

// writer is the goroutine that owns a recorder's file.
type writer struct {
	r       *Recorder
	f       File  // nil while it could not be made or was lost
	shift   int64 // how much further back a position stands in the file than in the recorder
	at      int64 // position behind the last byte written
	synced  int64 // position behind the last byte that is on the disk for good
	last    time.Time
	rewind  bool // a sync failed: what is not synced is written again
	failing bool
}

// run writes until the recorder ends. Under trouble it tries again once a
// second and gives up only after the recorder has ended and stayed in trouble
// for closeLimit.
func (w *writer) run() {
	defer close(w.r.done)
	defer w.caught()
	timer := time.NewTimer(syncEvery)
	defer timer.Stop()
	var ended time.Time
	for {
		ending := w.turn()
		if ending && ended.IsZero() {
			ended = time.Now()
		}
		if ending && (w.r.Status().Kept == 0 || time.Since(ended) >= closeLimit) {
			break
		}
		w.pause(timer)
	}
	if w.f != nil {
		w.f.Close()
	}
}

// pause waits for the next line, or for the next moment to sync or retry. In
// trouble new lines do not wake it, or a full disk would be asked ten times a
// second.
func (w *writer) pause(timer *time.Timer) {
	wake := w.r.wake
	wait := syncEvery
	if w.failing {
		wake, wait = nil, retryEvery
	} else if w.at > w.synced {
		wait = max(0, syncEvery-time.Since(w.last))
	}
	timer.Reset(wait)
	select {
	case <-wake:
	case <-timer.C:
	}
}

// turn writes what waits and syncs when it is time. It reports whether the
// recorder is ending.
func (w *writer) turn() (ending bool) {
	err := w.work()
	w.failing = err != nil
	r := w.r
	r.mu.Lock()
	defer r.mu.Unlock()
	r.busy = time.Time{}
	switch {
	case err == nil:
		r.err = nil
	default:
		r.err = troubleAt("writing to", r.path, err)
	}
	return r.ending
}

func (w *writer) work() error {
	w.r.mu.Lock()
	w.r.busy = time.Now()
	urgent, ending := w.r.urgent, w.r.ending
	w.r.urgent = false
	w.r.mu.Unlock()

	due := urgent || ending || w.failing || w.f == nil || time.Since(w.last) >= syncEvery
	if due {
		if err := w.present(); err != nil {
			return err
		}
	}
	if w.rewind {
		if err := w.f.Truncate(w.synced + w.shift); err != nil {
			return err
		}
		w.at, w.rewind = w.synced, false
	}
	if err := w.write(); err != nil {
		return err
	}
	if !due {
		return nil
	}
	return w.sync()
}

// write appends the bytes that wait. A write that ends early is gone on with,
// never begun again, so that no line is torn or doubled.
func (w *writer) write() error {
	for {
		chunk := w.waiting()
		if len(chunk) == 0 {
			return nil
		}
		n, err := w.f.Write(chunk)
		w.at += int64(max(n, 0))
		if err == nil && n <= 0 {
			err = io.ErrNoProgress
		}
		if err != nil {
			return err
		}
	}
}

// waiting returns the bytes behind w.at. Nobody changes them until the writer
// itself forgets them, so they are read without the lock.
func (w *writer) waiting() []byte {
	w.r.mu.Lock()
	defer w.r.mu.Unlock()
	return w.r.buf[w.at-w.r.base:]
}

// sync makes what was written last, then forgets it. After a failed sync the
// system may have dropped the bytes and call the next sync a success, so they
// are written again.
func (w *writer) sync() error {
	w.last = time.Now()
	if w.at == w.synced {
		w.answer()
		return nil
	}
	if err := w.f.Sync(); err != nil {
		w.rewind = true
		return err
	}
	w.last = time.Now()
	w.synced = w.at
	w.forget()
	w.answer()
	return nil
}

// forget drops the lines that are synced.
func (w *writer) forget() {
	r := w.r
	r.mu.Lock()
	defer r.mu.Unlock()
	n := 0
	for n < len(r.lines) && r.lines[n].end <= w.synced {
		if r.lines[n].reading {
			r.held--
		}
		n++
	}
	if n == 0 {
		return
	}
	cut := r.lines[n-1].end - r.base
	r.base += cut
	r.synced += n
	r.buf = append(r.buf[:0], r.buf[cut:]...)
	r.lines = append(r.lines[:0], r.lines[n:]...)
	if len(r.lines) == 0 && cap(r.buf) > 1<<20 { // give back what a long outage took
		r.buf, r.lines = nil, nil
	}
}

// answer lets those go who wait in Flush, once nothing waits.
func (w *writer) answer() {
	r := w.r
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.lines) > 0 {
		if len(r.flush) > 0 {
			r.urgent = true
			r.nudge()
		}
		return
	}
	for _, ch := range r.flush {
		close(ch)
	}
	r.flush = nil
}
