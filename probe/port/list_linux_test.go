package port

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// A tree laid out as the kernel does: class links into the device tree, the
// USB attributes some levels above the tty.
func TestListIn(t *testing.T) {
	root := t.TempDir()
	sys, dev := filepath.Join(root, "sys"), filepath.Join(root, "dev")
	file := func(path, content string) {
		t.Helper()
		path = filepath.Join(root, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(content+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := func(path, to string) {
		t.Helper()
		path = filepath.Join(root, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(to, path); err != nil {
			t.Fatal(err)
		}
	}
	const usb = "sys/devices/pci0000:00/usb1/1-1"
	file(usb+"/idVendor", "0403")
	file(usb+"/idProduct", "6001")
	file(usb+"/serial", "A50285BI")
	file(usb+"/manufacturer", "Maker")
	file(usb+"/product", "USB Serial")
	file(usb+"/1-1:1.0/ttyUSB0/tty/ttyUSB0/dev", "188:0")
	link(usb+"/1-1:1.0/ttyUSB0/tty/ttyUSB0/device", "../../../ttyUSB0")
	link("sys/class/tty/ttyUSB0", "../../devices/pci0000:00/usb1/1-1/1-1:1.0/ttyUSB0/tty/ttyUSB0")

	const acm = "sys/devices/pci0000:00/usb1/1-2"
	file(acm+"/idVendor", "2e8a")
	file(acm+"/idProduct", "000a")
	file(acm+"/1-2:1.0/tty/ttyACM0/dev", "166:0")
	link(acm+"/1-2:1.0/tty/ttyACM0/device", "../../../1-2:1.0")
	link("sys/class/tty/ttyACM0", "../../devices/pci0000:00/usb1/1-2/1-2:1.0/tty/ttyACM0")

	for name, kind := range map[string]string{"ttyS0": "4", "ttyS1": "0"} {
		file("sys/devices/platform/serial8250/tty/"+name+"/type", kind)
		link("sys/devices/platform/serial8250/tty/"+name+"/device", "../../../serial8250")
		link("sys/class/tty/"+name, "../../devices/platform/serial8250/tty/"+name)
	}
	file("sys/devices/virtual/tty/console/dev", "5:1")
	link("sys/class/tty/console", "../../devices/virtual/tty/console")
	link("dev/serial/by-id/usb-Maker_USB_Serial_A50285BI-if00-port0", "../../ttyUSB0")

	got, err := listIn(sys, dev)
	if err != nil {
		t.Fatal(err)
	}
	want := []Found{
		{Path: dev + "/ttyACM0", USB: "2E8A:000A"},
		{Path: dev + "/ttyS0"},
		{Path: dev + "/ttyUSB0", ByID: dev + "/serial/by-id/usb-Maker_USB_Serial_A50285BI-if00-port0",
			USB: "0403:6001:A50285BI", Manufacturer: "Maker", Product: "USB Serial", Serial: "A50285BI"},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if none, err := listIn(filepath.Join(root, "nowhere"), dev); len(none) > 0 || err != nil {
		t.Errorf("without sysfs: %v, %v", none, err)
	}
}
