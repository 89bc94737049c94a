package port

import (
	"errors"
	"fmt"
	"io/fs"
	"runtime"
	"syscall"

	"go.bug.st/serial"
)

// What can be wrong with a port. Errors of this package wrap one of these, and
// the system's own error beside it.
var (
	ErrNotFound  = errors.New("no such port")
	ErrDenied    = errors.New("permission denied")
	ErrBusy      = errors.New("another program has it open")
	ErrNotSerial = errors.New("it is not a serial port")
	ErrSettings  = errors.New("it does not take these line settings")
	ErrGone      = errors.New("the probe was unplugged or switched off")
	ErrAlike     = errors.New("several devices have this USB id")
	ErrOther     = errors.New("the system reports an error")
)

// Error is what happened to a port, with the evidence and the remedy.
type Error struct {
	Op    string // "open", "read" or "find"
	Path  string // the port, or the USB id looked for
	Kind  error  // one of the errors above
	Cause error  // the system's, nil for none
	group string // that may read the port, where known
}

// Error says what was being done, to what, and what is wrong.
func (e *Error) Error() string {
	if e.Kind == ErrOther && e.Cause != nil {
		return fmt.Sprintf("cannot %s %s: %v", e.Op, e.Path, e.Cause)
	}
	if e.Kind == ErrGone {
		return fmt.Sprintf("lost %s: %v", e.Path, e.Kind)
	}
	return fmt.Sprintf("cannot %s %s: %v", e.Op, e.Path, e.Kind)
}

// Unwrap returns the kind and the cause.
func (e *Error) Unwrap() []error {
	if e.Cause == nil {
		return []error{e.Kind}
	}
	return []error{e.Kind, e.Cause}
}

// Remedy says what to do about it on this system.
func (e *Error) Remedy() string { return e.remedy(runtime.GOOS) }

func (e *Error) remedy(system string) string {
	switch e.Kind {
	case ErrNotFound:
		return "plug the probe in, or see \"boildown probes\" for the ports there are; it is taken up as soon as it appears"
	case ErrDenied:
		return e.permission(system)
	case ErrBusy:
		if system == "windows" {
			return "close the other program that reads it (a serial monitor, a second boildown); just after plugging in it can take a few seconds"
		}
		return "close the other program that reads it (a serial monitor, a second boildown)"
	case ErrNotSerial:
		return "name the probe's own port; \"boildown probes\" lists them"
	case ErrSettings:
		return "try another speed with --baud, 9600 or 115200 for most boards, and leave the frame at 8N1"
	case ErrGone:
		return "plug it in again, in any socket; it is taken up by itself"
	case ErrAlike:
		return "add the serial number, as in VID:PID:SERIAL, or name the port; \"boildown probes\" shows both"
	}
	return "unplug the probe, plug it in again, and see \"boildown probes\""
}

// permission says how a user of the system gets to read a port.
func (e *Error) permission(system string) string {
	switch system {
	case "linux":
		group := e.group
		if group == "" || group == "root" {
			group = "dialout"
		}
		return fmt.Sprintf("join the group that may read it with \"sudo usermod -aG %s $USER\", then log out and in again", group)
	case "freebsd":
		return "join the group that may read it with \"sudo pw groupmod dialer -m $USER\", then log out and in again"
	case "openbsd":
		return "join the group that may read it with \"doas usermod -G dialer $USER\", then log out and in again"
	case "darwin":
		return "use the port's /dev/cu. name, and allow the terminal to use accessories in System Settings, Privacy & Security"
	}
	return "close other programs that may hold it, or ask whoever looks after this computer for access to serial ports"
}

// Note puts an error of this package in one sentence with its remedy.
func Note(err error) string {
	var e *Error
	if errors.As(err, &e) {
		return e.Error() + ": " + e.Remedy()
	}
	return err.Error()
}

// openError names what kept a port from opening.
func openError(path string, err error) error {
	kind := ErrOther
	var pe *serial.PortError
	switch {
	case errors.As(err, &pe):
		kind = kindOfCode(pe.Code())
	case errors.Is(err, fs.ErrNotExist):
		kind = ErrNotFound
	case errors.Is(err, fs.ErrPermission):
		kind = ErrDenied
	case errors.Is(err, syscall.EBUSY):
		kind = ErrBusy
	case errors.Is(err, syscall.EISDIR), errors.Is(err, syscall.ENXIO), errors.Is(err, syscall.ENOTTY), errors.Is(err, syscall.ENODEV):
		kind = ErrNotSerial
	}
	e := &Error{Op: "open", Path: path, Kind: kind, Cause: err}
	if kind == ErrDenied {
		e.group = groupOf(path)
	}
	return e
}

func kindOfCode(c serial.PortErrorCode) error {
	switch c {
	case serial.PortBusy:
		return ErrBusy
	case serial.PortNotFound:
		return ErrNotFound
	case serial.InvalidSerialPort:
		return ErrNotSerial
	case serial.PermissionDenied:
		return ErrDenied
	case serial.InvalidSpeed, serial.InvalidDataBits, serial.InvalidParity, serial.InvalidStopBits:
		return ErrSettings
	case serial.PortClosed:
		return ErrGone
	}
	return ErrOther
}

// readError names what ended the reading. Whatever the system calls it, to the
// cook the probe is gone.
func readError(path string, err error) error {
	return &Error{Op: "read", Path: path, Kind: ErrGone, Cause: err}
}
