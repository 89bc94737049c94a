package port

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

func list() ([]Found, error) { return listIn("/sys", "/dev") }

// listIn reads the ports from sysfs (Documentation/ABI/testing/sysfs-tty and
// sysfs-bus-usb in the kernel's tree) and never opens one: opening raises the
// modem lines of real ports. A port that vanishes meanwhile is left out.
func listIn(sys, dev string) ([]Found, error) {
	class := filepath.Join(sys, "class", "tty")
	entries, err := os.ReadDir(class)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil // a container without sysfs has no ports to list
	}
	if err != nil {
		return nil, err
	}
	byID := linksIn(filepath.Join(dev, "serial", "by-id"))
	var all []Found
	for _, e := range entries {
		node := filepath.Join(class, e.Name())
		device, err := filepath.EvalSymlinks(filepath.Join(node, "device"))
		if err != nil {
			continue // consoles and pseudo-terminals have no device
		}
		if text(filepath.Join(node, "type")) == "0" {
			continue // a ttyS with no UART behind it
		}
		f := Found{Path: filepath.Join(dev, e.Name())}
		f.ByID = byID[e.Name()]
		describeUSB(&f, device, sys)
		all = append(all, f)
	}
	return all, nil
}

// describeUSB looks for the USB device that the device directory lies in.
func describeUSB(f *Found, device, sys string) {
	top, err := filepath.EvalSymlinks(sys)
	if err != nil {
		top = sys
	}
	for dir := device; strings.HasPrefix(dir, top) && dir != top; dir = filepath.Dir(dir) {
		vid := text(filepath.Join(dir, "idVendor"))
		if vid == "" {
			continue
		}
		f.Serial = text(filepath.Join(dir, "serial"))
		f.Manufacturer = text(filepath.Join(dir, "manufacturer"))
		f.Product = text(filepath.Join(dir, "product"))
		f.USB = usbID(vid, text(filepath.Join(dir, "idProduct")), f.Serial)
		return
	}
}

// linksIn maps the node that each link in dir leads to, to the link.
func linksIn(dir string) map[string]string {
	links := map[string]string{}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return links
	}
	for _, e := range entries {
		link := filepath.Join(dir, e.Name())
		if to, err := os.Readlink(link); err == nil {
			links[filepath.Base(to)] = link
		}
	}
	return links
}

// text returns a sysfs attribute, "" if there is none.
func text(path string) string {
	b, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(b))
}
