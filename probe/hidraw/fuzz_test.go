package hidraw

import (
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"boildown/probe"
)

// Whatever a layout's options say and a device reports, it is a temperature in
// range or a fault.
func FuzzReport(f *testing.F) {
	f.Add("offset=2&order=big&scale=0.01", []byte{0x80, 0x80, 0x0b, 0x1c})
	f.Add("offset=0&width=4&sign=no&unit=F&add=-40", []byte{1, 2, 3, 4, 5})
	f.Add("offset=63&width=1", []byte{0xff})
	f.Add("offset=-1&scale=nan", []byte{})
	f.Fuzz(func(t *testing.T, options string, report []byte) {
		q, err := url.ParseQuery(options)
		if err != nil {
			return
		}
		var l Layout
		if l.Options(q) != nil {
			return
		}
		c, fault := l.read(report)
		if fault == probe.FaultNone && !(c >= probe.Coldest && c <= probe.Hottest) {
			t.Errorf("%q: % x is %v without a fault", options, report, c)
		}
	})
}

// FuzzDescribe: whatever the kernel tells of a device, it is passed over or has
// a USB id of eight hexadecimal digits' length.
func FuzzDescribe(f *testing.F) {
	f.Add("HID_ID=0003:0000413D:00002107\nHID_NAME=a thermometer\nHID_UNIQ=7\n")
	f.Add("HID_ID=::\nHID_ID=0003:abcd:\x1b[2J\n")
	f.Add("HID_NAME=\nHID_UNIQ\n=\n")
	f.Fuzz(func(t *testing.T, uevent string) {
		file := filepath.Join(t.TempDir(), "uevent")
		if err := os.WriteFile(file, []byte(uevent), 0o600); err != nil {
			t.Fatal(err)
		}
		var d Device
		if describe(&d, file) && len(d.USB) < len("VVVV:PPPP") {
			t.Errorf("%q is the device %+v", uevent, d)
		}
		d.is("413D:2107")
	})
}
