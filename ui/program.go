package ui

import (
	"errors"
	"fmt"
	"io"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"boildown/probe"
)

// Fault is a panic that was caught behind the screen.
type Fault struct {
	Value any
	Stack string
}

func (f *Fault) Error() string { return fmt.Sprint(f.Value) }

// Program runs a screen on a terminal. It handles no signals; whoever runs it
// calls [Program.Quit], and [Program.Kill] when that takes too long.
type Program struct {
	tea   *tea.Program
	mu    sync.Mutex
	fault *Fault // the first
}

// NewProgram makes the program that shows m on the alternate screen of out and
// takes its keys from in. Nothing is written before Run.
func NewProgram(m tea.Model, in io.Reader, out io.Writer) *Program {
	p := &Program{}
	p.tea = tea.NewProgram(guarded{m, p}, tea.WithInput(in), tea.WithOutput(out),
		tea.WithAltScreen(), tea.WithoutSignalHandler(), tea.WithFPS(20))
	return p
}

// Run shows the screen until it quits. It returns a *[Fault] when something
// behind the screen panicked, an error when the terminal cannot be used, and
// nil otherwise, killed programs included. The terminal is restored each time.
func (p *Program) Run() error {
	_, err := p.tea.Run()
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.fault != nil {
		return p.fault
	}
	if errors.Is(err, tea.ErrProgramKilled) && !errors.Is(err, tea.ErrProgramPanic) {
		return nil
	}
	return err
}

// Quit ends the screen after a last draw. It does not wait.
func (p *Program) Quit() { go p.tea.Quit() }

// Kill ends the screen at once.
func (p *Program) Kill() { p.tea.Kill() }

// Suspend gives the terminal back while away runs, then takes it again.
func (p *Program) Suspend(away func()) error {
	if err := p.tea.ReleaseTerminal(); err != nil {
		return err
	}
	away()
	return p.tea.RestoreTerminal()
}

// caught keeps the first panic and ends the screen. The library's own catch
// would print a stack over the cook's terminal and keep nothing. It quits and
// does not kill: a killed program closes its input without waiting for the
// goroutine that reads it.
func (p *Program) caught(r any) {
	p.mu.Lock()
	if p.fault == nil {
		is := probe.PanicOf(r)
		p.fault = &Fault{Value: is.Value, Stack: is.Stack}
	}
	p.mu.Unlock()
	p.Quit()
}

// broken reports whether a panic was caught: the model is not to be asked again.
func (p *Program) broken() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.fault != nil
}

// guarded is a model none of whose parts can bring the process down.
type guarded struct {
	inner tea.Model
	p     *Program
}

func (g guarded) Init() (cmd tea.Cmd) {
	defer g.catch()
	return g.p.guard(g.inner.Init())
}

func (g guarded) Update(msg tea.Msg) (m tea.Model, cmd tea.Cmd) {
	m = g
	if g.p.broken() {
		return g, nil
	}
	defer g.catch()
	inner, cmd := g.inner.Update(msg)
	return guarded{inner, g.p}, g.p.guard(cmd)
}

func (g guarded) View() string {
	if g.p.broken() {
		return ""
	}
	defer g.catch()
	return g.inner.View()
}

func (g guarded) catch() {
	if r := recover(); r != nil {
		g.p.caught(r)
	}
}

// guard wraps a command, and those that it yields in a batch, so that a panic
// in its goroutine is caught.
func (p *Program) guard(cmd tea.Cmd) tea.Cmd {
	if cmd == nil {
		return nil
	}
	return func() (msg tea.Msg) {
		defer func() {
			if r := recover(); r != nil {
				p.caught(r)
			}
		}()
		msg = cmd()
		if batch, ok := msg.(tea.BatchMsg); ok {
			for i := range batch {
				batch[i] = p.guard(batch[i])
			}
		}
		return msg
	}
}
