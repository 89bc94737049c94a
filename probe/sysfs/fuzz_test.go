package sysfs

import (
	"testing"

	"boildown/probe"
)

// FuzzAttributes: whatever the kernel's files hold, each sensor that is found
// shows a temperature in range or a fault.
func FuzzAttributes(f *testing.F) {
	f.Add("max31855\n", "451\n", "250\n", "0\n")
	f.Add("a/../b\x1b[2J", "nan", "1e308", "-1e308")
	f.Add("", "", "", "")
	f.Add("x", "0x1p900", "inf", "1")
	f.Fuzz(func(t *testing.T, name, value, scale, offset string) {
		all, err := Find(tree(t, map[string]string{
			"bus/w1/devices/28-0000056d1c3c/w1_slave":    value,
			"bus/w1/devices/22-000000a1b2c3/temperature": value,
			"class/hwmon/hwmon0/name":                    name,
			"class/hwmon/hwmon0/temp1_input":             value,
			"class/hwmon/hwmon0/temp1_label":             name,
			"class/hwmon/hwmon0/temp1_fault":             offset,
			"bus/iio/devices/iio:device0/name":           name,
			"bus/iio/devices/iio:device0/in_temp_raw":    value,
			"bus/iio/devices/iio:device0/in_temp_scale":  scale,
			"bus/iio/devices/iio:device0/in_temp_offset": offset,
			"bus/iio/devices/iio:device1/name":           name,
			"bus/iio/devices/iio:device1/in_temp_input":  value,
		}))
		if err != nil || len(all) != 5 {
			t.Fatalf("%d sensors, error %v", len(all), err)
		}
		for _, s := range all {
			a, err := s.read()
			if err == nil && a.Fault == probe.FaultNone && !(a.C >= probe.Coldest && a.C <= probe.Hottest) {
				t.Errorf("%s shows %v", s.ID, a.C)
			}
		}
	})
}
