package sysfs

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"boildown/probe"
	"boildown/probe/poll"
)

// read gets one reading. An error means that the sensor's directory is gone or
// closed to us; a sensor that is there and fails is a fault.
func (s Sensor) read() (poll.Answer, error) {
	switch s.bus {
	case "w1":
		return s.readW1()
	case "hwmon":
		return s.readHwmon()
	}
	return s.readIIO()
}

// number reads an attribute that holds one number.
func (s Sensor) number(name string) (v float64, raw string, err error) {
	b, err := os.ReadFile(filepath.Join(s.Path, name))
	if err != nil {
		return 0, "", err
	}
	raw = strings.TrimSpace(string(b))
	v, err = strconv.ParseFloat(raw, 64)
	if err != nil {
		return 0, raw, errNoNumber
	}
	return v, raw, nil
}

var errNoNumber = errors.New("no number in the attribute")

// failed turns an error of reading an attribute into a fault, unless the whole
// sensor is out of reach.
func failed(raw string, err error) (poll.Answer, error) {
	switch {
	case errors.Is(err, errNoNumber):
		return poll.Answer{Fault: probe.FaultGarbled, Raw: raw}, nil
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, fs.ErrPermission):
		return poll.Answer{}, err
	case errors.Is(err, syscall.ENODEV), errors.Is(err, syscall.ENXIO):
		return poll.Answer{}, err
	}
	// EIO, EAGAIN, ETIMEDOUT, EINVAL: the driver asked and got no good answer.
	return poll.Answer{Fault: probe.FaultReported}, nil
}

// milli turns thousandths of a degree into a reading.
func (s Sensor) milli(v float64, raw string) poll.Answer {
	a := poll.Answer{C: probe.Celsius(v / 1000), Raw: raw}
	switch {
	case s.Max > 0 && a.C >= s.Max:
		a.Fault = probe.FaultOverRange
	case !(a.C >= probe.Coldest && a.C <= probe.Hottest):
		a.Fault = probe.FaultImpossible
	}
	return a
}

func (s Sensor) readHwmon() (poll.Answer, error) {
	if v, _, err := s.number(s.channel + "_fault"); err == nil && v != 0 {
		return poll.Answer{Fault: probe.FaultOpen}, nil
	}
	v, raw, err := s.number(s.channel + "_input")
	if err != nil {
		return failed(raw, err)
	}
	return s.milli(v, raw), nil
}

// readIIO reads the scaled attribute, or else (raw + offset) · scale, both in
// thousandths of a degree. A channel without its own scale shares the type's.
func (s Sensor) readIIO() (poll.Answer, error) {
	v, raw, err := s.number(s.channel + "_input")
	if err == nil {
		return s.milli(v, raw), nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return failed(raw, err)
	}
	v, raw, err = s.number(s.channel + "_raw")
	if err != nil {
		return failed(raw, err)
	}
	offset := s.shared("_offset", 0)
	scale := s.shared("_scale", 1)
	return s.milli((v+offset)*scale, raw), nil
}

func (s Sensor) shared(ending string, without float64) float64 {
	for _, ch := range []string{s.channel, "in_temp"} {
		if v, _, err := s.number(ch + ending); err == nil {
			return v
		}
	}
	return without
}

// readW1 prefers w1_slave, which shows the sensor's memory with its check
// byte, to the bare number that newer kernels offer beside it.
func (s Sensor) readW1() (poll.Answer, error) {
	b, err := os.ReadFile(filepath.Join(s.Path, "w1_slave"))
	if errors.Is(err, fs.ErrNotExist) {
		v, raw, err := s.number("temperature")
		if err != nil {
			return failed(raw, err)
		}
		return s.milli(v, raw), nil
	}
	if err != nil {
		return failed("", err)
	}
	return s.parseW1(string(b)), nil
}

// parseW1 reads the two lines of w1_slave: nine bytes with the verdict on
// their check byte, then the same bytes and t= thousandths of a degree.
func (s Sensor) parseW1(all string) poll.Answer {
	first, second, _ := strings.Cut(strings.TrimSpace(all), "\n")
	raw := strings.TrimSpace(second)
	garbled := poll.Answer{Fault: probe.FaultGarbled, Raw: raw}
	var pad [9]byte
	fields := strings.Fields(first)
	if len(fields) < len(pad) {
		return garbled
	}
	for i := range pad {
		v, err := strconv.ParseUint(fields[i], 16, 8)
		if err != nil {
			return garbled
		}
		pad[i] = byte(v)
	}
	c, fault := probe.DS18B20Scratchpad(pad)
	if fault == probe.FaultNone && !strings.HasSuffix(strings.TrimSpace(first), "YES") {
		return garbled
	}
	if fault != probe.FaultNone {
		return poll.Answer{C: c, Fault: fault, Raw: raw}
	}
	_, t, ok := strings.Cut(second, "t=")
	v, err := strconv.ParseFloat(strings.TrimSpace(t), 64)
	if !ok || err != nil {
		return garbled
	}
	return s.milli(v, raw)
}

// explain puts an error in one sentence with its remedy.
func explain(id string, err error) string {
	switch {
	case errors.Is(err, fs.ErrPermission):
		return fmt.Sprintf("cannot read the sensor %s: permission denied: allow reading its files under /sys, or run the program as a user who may", id)
	case errors.Is(err, errMissing), errors.Is(err, fs.ErrNotExist):
		return fmt.Sprintf("there is no sensor %s: plug it in and load its driver; \"boildown probes\" lists the sensors there are", id)
	}
	return fmt.Sprintf("cannot read the sensor %s: %v: check its wiring; \"boildown probes\" lists the sensors there are", id, err)
}
