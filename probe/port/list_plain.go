//go:build darwin && !cgo

package port

import "go.bug.st/serial"

// list has names only: the library reads USB identities on macOS through cgo.
func list() ([]Found, error) {
	names, err := serial.GetPortsList()
	var all []Found
	for _, n := range names {
		all = append(all, Found{Path: n})
	}
	return all, err
}
