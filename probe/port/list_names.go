//go:build !linux

package port

import (
	"runtime"
	"strings"

	"go.bug.st/serial"
)

// plainList has names only. macOS gives each port two: /dev/tty. waits for a
// modem's carrier, /dev/cu. does not.
func plainList() ([]Found, error) {
	names, err := serial.GetPortsList()
	var all []Found
	for _, n := range names {
		if runtime.GOOS == "darwin" && strings.HasPrefix(n, "/dev/tty.") {
			continue
		}
		all = append(all, Found{Path: n})
	}
	return all, err
}
