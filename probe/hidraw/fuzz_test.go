package hidraw

import (
	"net/url"
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
