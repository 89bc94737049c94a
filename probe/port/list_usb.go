//go:build !linux && (!darwin || cgo)

package port

import "go.bug.st/serial/enumerator"

func list() ([]Found, error) {
	ports, err := enumerator.GetDetailedPortsList()
	if err != nil { // not built for every system
		return plainList()
	}
	var all []Found
	for _, p := range ports {
		if p == nil || p.Name == "" {
			continue // it vanished during the scan
		}
		f := Found{Path: p.Name}
		if p.IsUSB {
			f.USB = usbID(p.VID, p.PID, p.SerialNumber)
			f.Manufacturer, f.Product, f.Serial = p.Manufacturer, p.Product, p.SerialNumber
		}
		all = append(all, f)
	}
	return all, nil
}
