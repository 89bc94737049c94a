package sessions

import (
	"fmt"
	"time"

	"boildown/probe"
)

// Fault is a panic of the recorder's own goroutine.
type Fault struct {
	Value any
	Stack string
}

func (f *Fault) Error() string { return fmt.Sprintf("a fault in the recorder: %v", f.Value) }

// Done returns a channel that is closed when the recording has ended, in order
// or by a [Fault].
func (r *Recorder) Done() <-chan struct{} { return r.done }

// Fault returns the panic that ended the recording, nil when there was none.
func (r *Recorder) Fault() *Fault {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.fault
}

// caught keeps a panic for whoever cooks, who is to end the program in order.
// What waits is tried once more first: the fault may have been in another step.
func (w *writer) caught() {
	v := recover()
	if v == nil {
		return
	}
	is := probe.PanicOf(v)
	f := &Fault{Value: is.Value, Stack: is.Stack}
	w.salvage()
	w.r.mu.Lock()
	defer w.r.mu.Unlock()
	w.r.fault, w.r.ending, w.r.err, w.r.busy = f, true, f, time.Time{}
}

func (w *writer) salvage() {
	defer func() {
		_ = recover()
		if w.f != nil {
			_ = w.f.Close() // which lets go of the lock
		}
	}()
	w.r.mu.Lock()
	w.r.ending = true // so that the sync is due
	w.r.mu.Unlock()
	_ = w.work()
}
