package hidraw

import (
	"bufio"
	"os"
	"path/filepath"
	"strings"
)

// Device is one HID device of this machine.
type Device struct {
	Path string // node, such as /dev/hidraw3
	USB  string // "VID:PID" or "VID:PID:SERIAL"
	Name string // the maker's
}

// Find lists the HID devices below sys, "" for /sys. Nothing there is no
// error.
func Find(sys string) ([]Device, error) {
	if sys == "" {
		sys = "/sys"
	}
	files, err := filepath.Glob(filepath.Join(sys, "class", "hidraw", "hidraw*", "device", "uevent"))
	if err != nil {
		return nil, err
	}
	var all []Device
	for _, file := range files {
		node := filepath.Base(filepath.Dir(filepath.Dir(file)))
		d := Device{Path: "/dev/" + node}
		if describe(&d, file) {
			all = append(all, d)
		}
	}
	return all, nil
}

// describe reads the keys that the kernel's HID core writes for a device:
// HID_ID=0003:0000413D:00002107 (bus, vendor, product), HID_NAME, HID_UNIQ.
func describe(d *Device, uevent string) bool {
	f, err := os.Open(uevent)
	if err != nil {
		return false // it vanished meanwhile
	}
	defer f.Close()
	serial := ""
	for in := bufio.NewScanner(f); in.Scan(); {
		key, v, _ := strings.Cut(in.Text(), "=")
		switch key {
		case "HID_ID":
			part := strings.Split(v, ":")
			if len(part) == 3 && len(part[1]) >= 4 && len(part[2]) >= 4 {
				d.USB = strings.ToUpper(part[1][len(part[1])-4:] + ":" + part[2][len(part[2])-4:])
			}
		case "HID_NAME":
			d.Name = v
		case "HID_UNIQ":
			serial = v
		}
	}
	if d.USB != "" && serial != "" {
		d.USB += ":" + serial
	}
	return d.USB != ""
}

// is reports whether the device has the USB id, with or without serial number.
func (d Device) is(usb string) bool {
	return strings.EqualFold(d.USB, usb) || strings.HasPrefix(strings.ToUpper(d.USB), strings.ToUpper(usb)+":")
}
