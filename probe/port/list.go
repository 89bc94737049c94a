package port

import (
	"slices"
	"strings"
)

// Found is one serial port of this machine.
type Found struct {
	Path         string // what to open
	ByID         string // a lasting name for it on Linux, "" elsewhere
	USB          string // "VID:PID:SERIAL" or "VID:PID", "" when it is no USB device
	Manufacturer string
	Product      string
	Serial       string
}

// List returns the serial ports of this machine, USB devices first. It opens
// none of them: opening resets many boards.
func List() ([]Found, error) {
	all, err := list()
	slices.SortStableFunc(all, func(a, b Found) int {
		switch {
		case a.USB != "" && b.USB == "":
			return -1
		case a.USB == "" && b.USB != "":
			return 1
		}
		return strings.Compare(a.Path, b.Path)
	})
	return all, err
}

// usbID puts a USB identity into the form that [Settings.USB] takes.
func usbID(vid, pid, serial string) string {
	id := strings.ToUpper(vid) + ":" + strings.ToUpper(pid)
	if serial != "" {
		id += ":" + serial
	}
	return id
}
