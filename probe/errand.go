package probe

import (
	"fmt"
	"runtime/debug"
)

// Errand is a goroutine that somebody waits for. A panic in it does not bring
// the process down where nobody can put things in order: it is raised again in
// the goroutine that waits.
type Errand struct {
	done chan struct{}
	err  error
	hurt *Panic
}

// Panic is what [Errand.Wait] raises again.
type Panic struct {
	Value any
	Stack string // where it happened
}

func (p *Panic) Error() string { return fmt.Sprintf("%v\n\n%s", p.Value, p.Stack) }

// Send runs f in a goroutine of its own.
func Send(f func() error) *Errand {
	e := &Errand{done: make(chan struct{})}
	go func() {
		defer close(e.done)
		defer func() {
			if v := recover(); v != nil {
				e.hurt = PanicOf(v)
			}
		}()
		e.err = f()
	}()
	return e
}

// Done returns a channel that is closed when the errand is over.
func (e *Errand) Done() <-chan struct{} { return e.done }

// Wait waits for the end, and returns f's error or goes on with its panic.
func (e *Errand) Wait() error {
	<-e.done
	if e.hurt != nil {
		panic(e.hurt)
	}
	return e.err
}

// WaitAll waits for the end of all, and then goes on with the panic of the first
// that had one. Their errors are theirs to tell.
func WaitAll(all []*Errand) {
	for _, e := range all {
		<-e.done
	}
	for _, e := range all {
		e.Wait()
	}
}

// PanicOf returns what was recovered with the stack on which it happened. Call
// it from the deferred function that recovers.
func PanicOf(v any) *Panic {
	if p, ok := v.(*Panic); ok {
		return p
	}
	return &Panic{Value: v, Stack: string(debug.Stack())}
}
