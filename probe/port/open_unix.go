//go:build unix

package port

import (
	"reflect"
	"syscall"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"
)

// openSerial opens a port that no child process inherits. The library opens
// without O_CLOEXEC, and a user's alert command that held the port would keep
// the kernel from giving the name back after an unplug.
func openSerial(path string, mode *serial.Mode) (serial.Port, error) {
	syscall.ForkLock.RLock() // no fork between open and close-on-exec
	defer syscall.ForkLock.RUnlock()
	p, err := serial.Open(path, mode)
	if err == nil {
		closeOnExec(p)
	}
	return p, err
}

// closeOnExec reaches for the library's unexported descriptor; a test fails if
// a later version hides it elsewhere.
func closeOnExec(p serial.Port) bool {
	v := reflect.ValueOf(p)
	if v.Kind() != reflect.Pointer || v.Elem().Kind() != reflect.Struct {
		return false
	}
	h := v.Elem().FieldByName("handle")
	if !h.IsValid() || !h.CanInt() {
		return false
	}
	unix.CloseOnExec(int(h.Int()))
	return true
}
