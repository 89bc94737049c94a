//go:build !unix

package port

import "go.bug.st/serial"

// openSerial opens a port. Handles are not inherited on Windows unless asked.
func openSerial(path string, mode *serial.Mode) (serial.Port, error) {
	return serial.Open(path, mode)
}
