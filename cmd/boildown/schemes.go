package main

import (
	"context"
	"fmt"
	"io"
	"net/url"
	"os"
	"strings"

	"boildown/probe/hidraw"
	"boildown/probe/modbus"
	"boildown/probe/mqtt"
	"boildown/probe/port"
	"boildown/probe/scpi"
	"boildown/probe/sysfs"
)

// schemeHelp says how probes are named that are not a port which prints lines.
const schemeHelp = `  -                                   lines on standard input
  w1:28-0000056d1c3c                  a kernel sensor (w1, hwmon or iio), as listed
  hidraw:413D:2107?offset=2&scale=0.01   a HID device; offset, width, order, sign, scale, add, unit, report, ask
  scpi://192.168.1.20                 an instrument on the network; query, setup, field, unit, every
  scpi:/dev/ttyUSB0                   the same on a serial line
  modbus://192.168.1.20?register=30001&scale=0.1   address, register, type, order, scale, unit, every
  modbus:/dev/ttyUSB0?address=7&register=30001     the same on a serial line
  mqtt://192.168.1.5/kitchen/pot      a topic of an MQTT broker, mqtts:// over TLS; version, ca; user and
                                      password in BOILDOWN_MQTT_USER and BOILDOWN_MQTT_PASSWORD[_FILE]`

// openScheme opens a probe that is named by a scheme. OK is false for a name
// without one, which is a port's. Line has the serial settings and the format
// of lines.
func openScheme(name string, line port.Settings, stdin io.Reader) (src source, ok bool, err error) {
	scheme, rest, _ := strings.Cut(name, ":")
	switch {
	case name == "-":
		return port.NewStream(stdin, "standard input", line.Format), true, nil
	case rest == "":
		return nil, false, nil
	}
	switch scheme {
	case "w1", "hwmon", "iio":
		src, err = opened(sysfs.New(sysfs.Settings{ID: name}))
	case "hidraw":
		src, err = openHID(rest)
	case "scpi":
		src, err = openSCPI(rest, line)
	case "modbus":
		src, err = openModbus(rest, line)
	case "mqtt", "mqtts":
		src, err = openMQTT(name, line)
	default:
		return nil, false, nil
	}
	if err != nil {
		// The name is not repeated: a broker's may hold a password.
		return nil, true, usagef("boildown probes --help shows how each kind of probe is named", "--probe: %w", err)
	}
	return src, true, nil
}

func openMQTT(name string, line port.Settings) (source, error) {
	broker, topic, err := mqtt.ParseURL(name, os.Getenv)
	if err != nil {
		return nil, err
	}
	return opened(mqtt.New(mqtt.Settings{Broker: broker, Topic: topic, Format: line.Format}))
}

// opened makes a source of a constructor's results, so that a failed one never
// becomes a source that is not nil.
func opened[S source](s S, err error) (source, error) {
	if err != nil {
		return nil, err
	}
	return s, nil
}

func openHID(rest string) (source, error) {
	name, q, err := splitOptions(rest)
	if err != nil {
		return nil, err
	}
	set := hidraw.Settings{USB: name}
	if strings.HasPrefix(name, "/") {
		set = hidraw.Settings{Path: name}
	}
	if err := set.Layout.Options(q); err != nil {
		return nil, err
	}
	return opened(hidraw.New(set))
}

func openSCPI(rest string, line port.Settings) (source, error) {
	name, q, err := splitOptions(rest)
	if err != nil {
		return nil, err
	}
	set := scpi.Settings{}
	if err := set.Options(q); err != nil {
		return nil, err
	}
	if host, ok := strings.CutPrefix(name, "//"); ok {
		set.Name, set.Dial = host, scpi.TCP(host)
	} else if set.Name, set.Dial, err = serialWay(name, line); err != nil {
		return nil, err
	}
	return opened(scpi.New(set))
}

func openModbus(rest string, line port.Settings) (source, error) {
	name, q, err := splitOptions(rest)
	if err != nil {
		return nil, err
	}
	set := modbus.Settings{}
	if err := set.Options(q); err != nil {
		return nil, err
	}
	if host, ok := strings.CutPrefix(name, "//"); ok {
		set.Name, set.Dial = host, modbus.TCP(host)
	} else {
		set.Serial = true
		if set.Name, set.Dial, err = serialWay(name, line); err != nil {
			return nil, err
		}
	}
	return opened(modbus.New(set))
}

// splitOptions cuts "device?key=value&…" in two.
func splitOptions(s string) (device string, q url.Values, err error) {
	device, options, _ := strings.Cut(s, "?")
	q, err = url.ParseQuery(options)
	return strings.TrimSuffix(device, "/"), q, err
}

// serialWay is the way to an instrument on a serial line, by path or by
// "usb:VID:PID".
func serialWay(name string, line port.Settings) (string, func(context.Context) (io.ReadWriteCloser, error), error) {
	line.Path, line.USB = name, ""
	if usb, ok := strings.CutPrefix(name, "usb:"); ok {
		line.Path, line.USB = "", usb
	}
	p, err := port.New(line)
	if err != nil {
		return "", nil, err
	}
	return name, p.Dial, nil
}

// listOthers lists the kernel's sensors and the HID devices below root, "" for
// /sys, and says of each how to cook with it.
func listOthers(out io.Writer, root string) {
	sensors, err := sysfs.Find(root)
	if err == nil {
		for _, s := range sensors {
			fmt.Fprintln(out, oneLine(strings.TrimSpace(s.ID+"  "+s.Label)))
			if why, refused := s.RefuseMelt(); refused {
				fmt.Fprintf(out, "  %s\n", oneLine(why))
			}
			fmt.Fprintf(out, "  use it: boildown cook --probe %s\n", oneLine(s.ID))
		}
	}
	devices, err := hidraw.Find(root)
	if err != nil {
		return
	}
	for _, d := range devices {
		fmt.Fprintln(out, oneLine(d.Path+"  "+d.Name+"  hidraw:"+d.USB))
	}
	if len(devices) > 0 {
		fmt.Fprintln(out, "  if one of these is a thermometer, its manual tells where in a report the temperature lies: --probe \"hidraw:VID:PID?offset=2&scale=0.01\"")
	}
}
