package port

import (
	"context"
	"time"

	"boildown/probe"
)

// Settings says which port to read and how.
type Settings struct {
	Path   string // device node, COM name, or a link under /dev/serial/by-id; or "" with USB
	USB    string // "VID:PID" or "VID:PID:SERIAL", as [Found.USB] gives it; wins over Path
	Baud   int    // 0 for DefaultBaud
	Frame  string // data bits, parity and stop bits, as in "8N1" or "7E1"; "" for 8N1
	Format probe.Format
}

// DefaultBaud is the speed used when none is given: what most small boards use.
const DefaultBaud = 9600

// Port reads a thermometer that prints lines on a serial port.
type Port struct {
	set Settings
}

// New checks s and returns the source. It opens nothing.
func New(s Settings) (*Port, error) { return &Port{set: s}, nil }

// Run reads the port until ctx ends. It reconnects by itself.
func (p *Port) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	<-ctx.Done()
	return nil
}

// Found is one serial port of this machine.
type Found struct {
	Path         string // what to open
	ByID         string // a lasting name for it on Linux, "" elsewhere
	USB          string // "VID:PID:SERIAL" or "VID:PID", "" when it is no USB device
	Manufacturer string
	Product      string
	Serial       string
}

// List returns the serial ports of this machine, USB devices first.
func List() ([]Found, error) { return nil, nil }

// Heard is what came from a port at one speed.
type Heard struct {
	Baud  int
	Bytes int
	Lines []string // made printable
	Guess probe.Guess
	OK    bool // Guess holds
}

// UsualBauds are the speeds that [Listen] tries when none are given.
var UsualBauds = []int{9600, 115200, 57600, 38400, 19200, 4800}

// Listen listens to the port at path for the time each, at one speed after
// another until one yields a temperature.
func Listen(ctx context.Context, path string, bauds []int, each time.Duration) ([]Heard, error) {
	return nil, nil
}
