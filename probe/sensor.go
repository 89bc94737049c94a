package probe

import (
	"fmt"
	"strings"
)

// Sensor is what a board passes on unconverted. The zero value is a
// temperature, which needs no conversion.
type Sensor uint8

// The sensors whose raw numbers can be read.
const (
	SensorNone  Sensor = iota
	SensorTypeK        // millivolts of a type K thermocouple, see [TypeK]
	SensorPt100        // ohms of a Pt100, see [Pt100]
)

var sensorNames = [...]string{"none", "type-k", "pt100"}

// String returns "none", "type-k" or "pt100".
func (s Sensor) String() string {
	if int(s) >= len(sensorNames) {
		return "unknown"
	}
	return sensorNames[s]
}

// ParseSensor reads what [Sensor.String] writes.
func ParseSensor(s string) (Sensor, error) {
	for i, name := range sensorNames {
		if strings.EqualFold(s, name) {
			return Sensor(i), nil
		}
	}
	return 0, fmt.Errorf("sensor %q is not known: it is %s", s, strings.Join(sensorNames[:], ", "))
}

// read turns a raw number into a temperature.
func (s Sensor) read(v float64, cold Celsius) (c Celsius, fault Fault) {
	switch s {
	case SensorTypeK:
		c, fault = TypeK(v, cold)
	case SensorPt100:
		c, fault = Pt100(v)
	default:
		return 0, FaultReported
	}
	if fault == FaultNone && (c < Coldest || c > Hottest) {
		return c, FaultImpossible
	}
	return c, fault
}
