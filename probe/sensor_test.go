package probe

import (
	"math"
	"testing"
)

// Lines of raw numbers; the values are rows of the tables in convert_test.go.
func TestParse_sensor(t *testing.T) {
	k := Format{Sensor: SensorTypeK, Cold: 25}
	pt := Format{Sensor: SensorPt100}
	keyed := Format{Sensor: SensorPt100, Key: "R2"}
	for _, row := range []struct {
		f     Format
		line  string
		want  Celsius
		fault Fault
	}{
		{k, "3.096", 100, 0}, // 4.096 mV less 1.000 mV of the cold junction
		{k, "3.096 mV", 100, 0},
		{k, "30", 0, FaultOverRange},
		{k, "112.4 C", 0, FaultGarbled}, // it is converted already
		{k, "open", 0, FaultOpen},
		{pt, "138.5055", 100, 0},
		{pt, "138.5055 ohm", 100, 0},
		{pt, `{"temp":138.5055}`, 100, 0},
		{pt, "0.4", 0, FaultShort},
		{pt, "9999", 0, FaultOpen},
		{keyed, "R1=109.73 R2=138.5055", 100, 0},
	} {
		c, fault := row.f.Parse(row.line)
		if fault != row.fault || fault == FaultNone && math.Abs(float64(c-row.want)) > 0.02 {
			t.Errorf("%q as %v: %v, %q; want %v, %q", row.line, row.f.Sensor, c, fault, row.want, row.fault)
		}
	}
	for _, s := range []Sensor{SensorNone, SensorTypeK, SensorPt100} {
		if got, err := ParseSensor(s.String()); got != s || err != nil {
			t.Errorf("%v: %v, %v", s, got, err)
		}
	}
	if _, err := ParseSensor("type-j"); err == nil {
		t.Error("type-j is accepted")
	}
}
