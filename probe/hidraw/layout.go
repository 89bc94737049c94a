package hidraw

import (
	"encoding/hex"
	"fmt"
	"math"
	"net/url"
	"strconv"
	"strings"

	"boildown/probe"
)

// Layout says where in a report the temperature lies.
type Layout struct {
	Report   int     // reports that begin with this byte; -1 for all
	Offset   int     // of the number's first byte, from 0, the report's number included
	Width    int     // bytes, 1 to 4; 0 for 2
	Big      bool    // most significant byte first; HID itself has it last
	Unsigned bool    // else two's complement
	Scale    float64 // degrees of one count; 0 for 1
	Add      float64 // degrees added after scaling, such as -40
	Unit     probe.Unit
	Ask      []byte // report to send before each reading; nil for devices that send by themselves
}

// reportMax bounds one report, in bytes; the kernel's own bound for USB is as
// large.
const reportMax = 4096

func (l Layout) width() int {
	if l.Width == 0 {
		return 2
	}
	return l.Width
}

// check refuses a layout that no report can have.
func (l Layout) check() error {
	switch {
	case l.Width < 0 || l.Width > 4:
		return fmt.Errorf("hidraw: a number of %d bytes cannot be read: its width is 1 to 4", l.Width)
	case l.Offset < 0 || l.Offset+l.width() > reportMax:
		return fmt.Errorf("hidraw: no report has an offset %d: bytes count from 0", l.Offset)
	case l.Report < -1 || l.Report > 255:
		return fmt.Errorf("hidraw: there is no report %d: they are 0 to 255, or -1 for all", l.Report)
	case math.IsNaN(l.Scale) || math.IsInf(l.Scale, 0) || math.IsNaN(l.Add) || math.IsInf(l.Add, 0):
		return fmt.Errorf("hidraw: scale %g and addend %g are no numbers to reckon with", l.Scale, l.Add)
	}
	return nil
}

// wants reports whether the report is one that holds the temperature.
func (l Layout) wants(report []byte) bool {
	return l.Report < 0 || len(report) > 0 && int(report[0]) == l.Report
}

// read reads a report. The ends of the number's range stand for an open sensor
// in many devices (common practice, no source).
func (l Layout) read(report []byte) (probe.Celsius, probe.Fault) {
	n := l.width()
	if len(report) < l.Offset+n {
		return 0, probe.FaultGarbled
	}
	var u uint64
	for i := range n {
		at := l.Offset + n - 1 - i
		if l.Big {
			at = l.Offset + i
		}
		u = u<<8 | uint64(report[at])
	}
	bits := uint(8 * n)
	v := float64(u)
	top := uint64(1)<<bits - 1
	if !l.Unsigned {
		if u == top>>1 || u == top>>1+1 {
			return 0, probe.FaultOpen
		}
		v = float64(int64(u<<(64-bits)) >> (64 - bits))
	} else if u == top {
		return 0, probe.FaultOpen
	}
	scale := l.Scale
	if scale == 0 {
		scale = 1
	}
	v = float64(v*scale) + l.Add
	c := probe.Celsius(v)
	if l.Unit == probe.UnitF {
		c = probe.Fahrenheit(v)
	}
	if !(c >= probe.Coldest && c <= probe.Hottest) {
		return 0, probe.FaultImpossible
	}
	return c, probe.FaultNone
}

// Options sets what a person wrote behind a device, as in
// "offset=2&width=2&order=big&scale=0.01&unit=C". An offset is needed.
//
//	report  the first byte of the reports that count
//	offset  of the number, in bytes from 0
//	width   of the number, 1 to 4 bytes
//	order   little or big: which byte comes first
//	sign    yes or no
//	scale   degrees of one count
//	add     degrees added after that
//	unit    C or F
//	ask     report to send before each reading, in hexadecimal
func (l *Layout) Options(q url.Values) error {
	if q.Get("offset") == "" {
		return fmt.Errorf("hidraw: where in a report the temperature lies is not said: add offset= with the number of bytes before it")
	}
	l.Report = -1
	for key, values := range q {
		v := values[len(values)-1]
		if err := l.option(key, v); err != nil {
			return fmt.Errorf("hidraw: option %s=%s: %w", key, v, err)
		}
	}
	return l.check()
}

func (l *Layout) option(key, v string) (err error) {
	switch key {
	case "report":
		var n uint64
		n, err = strconv.ParseUint(v, 0, 8)
		l.Report = int(n)
	case "offset":
		l.Offset, err = strconv.Atoi(v)
	case "width":
		l.Width, err = strconv.Atoi(v)
	case "order":
		l.Big, err = either(v, "big", "little")
	case "sign":
		l.Unsigned, err = either(v, "no", "yes")
	case "scale":
		l.Scale, err = strconv.ParseFloat(v, 64)
	case "add":
		l.Add, err = strconv.ParseFloat(v, 64)
	case "unit":
		var f bool
		if f, err = either(strings.ToUpper(v), "F", "C"); f {
			l.Unit = probe.UnitF
		}
	case "ask":
		l.Ask, err = hex.DecodeString(v)
	default:
		return fmt.Errorf("there is no such option: it is report, offset, width, order, sign, scale, add, unit or ask")
	}
	return err
}

// either reports whether v is yes; it must be one of the two.
func either(v, yes, no string) (bool, error) {
	if v != yes && v != no {
		return false, fmt.Errorf("it is %s or %s", yes, no)
	}
	return v == yes, nil
}
