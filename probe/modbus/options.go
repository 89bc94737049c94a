package modbus

import (
	"fmt"
	"math"
	"net/url"
	"strconv"
	"strings"
	"time"

	"boildown/probe"
)

// Options sets what a person wrote behind an address, as in
// "address=7&register=30001&type=int16&scale=0.1&unit=F". A register is needed.
//
//	address   of the instrument on its line, 1–247
//	register  as [ParseRegister] reads it
//	type      int16, uint16, int32, uint32, float32
//	order     ABCD, CDAB, BADC, DCBA
//	scale     degrees of one count, such as 0.1
//	unit      C or F
//	every     time from one question to the next, such as 500ms
func (s *Settings) Options(q url.Values) error {
	if q.Get("register") == "" {
		return fmt.Errorf("modbus: no register is named: add register= with the number from the manual, such as register=30001")
	}
	for key, values := range q {
		v := values[len(values)-1]
		var err error
		switch key {
		case "address":
			var n uint64
			n, err = strconv.ParseUint(v, 0, 8)
			s.Address = byte(n)
		case "register":
			s.Function, s.Register, err = ParseRegister(v)
		case "type":
			s.Type, err = ParseType(v)
		case "order":
			s.Order, err = ParseOrder(v)
		case "scale":
			s.Scale, err = strconv.ParseFloat(v, 64)
			if err == nil && !(s.Scale > 0 && s.Scale < math.MaxFloat64) {
				err = fmt.Errorf("%s is no scale", v)
			}
		case "unit":
			s.Unit, err = parseUnit(v)
		case "every":
			s.Every, err = parseEvery(v)
		default:
			return fmt.Errorf("modbus: there is no option %q: it is address, register, type, order, scale, unit or every", key)
		}
		if err != nil {
			return fmt.Errorf("modbus: option %s=%s: %w", key, v, err)
		}
	}
	return nil
}

func parseUnit(v string) (probe.Unit, error) {
	switch strings.ToUpper(v) {
	case "C":
		return probe.UnitC, nil
	case "F":
		return probe.UnitF, nil
	}
	return 0, fmt.Errorf("the unit is C or F")
}

func parseEvery(v string) (time.Duration, error) {
	d, err := time.ParseDuration(v)
	if err != nil {
		return 0, err
	}
	if d < 50*time.Millisecond || d > 5*time.Second {
		return 0, fmt.Errorf("the time between readings is 50ms to 5s")
	}
	return d, nil
}
