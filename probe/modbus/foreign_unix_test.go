//go:build unix

package modbus

import (
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/port"
	"boildown/probe/probetest"
)

// foreign is a Modbus server by pymodbus, a general-purpose library that this
// project did not write. Input register 0 holds 113.0 °C in tenths, holding
// registers 107 and 108 hold 235.0 as float32 with the low register first, as
// pymodbus itself lays it out.
const foreign = `
import sys
from pymodbus.constants import Endian
from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.payload import BinaryPayloadBuilder
from pymodbus.server import StartSerialServer, StartTcpServer
from pymodbus.transaction import ModbusRtuFramer
b = BinaryPayloadBuilder(byteorder=Endian.Big, wordorder=Endian.Little)
b.add_32bit_float(235.0)
hr = [0] * 107 + b.to_registers()
unit = ModbusSlaveContext(ir=ModbusSequentialDataBlock(0, [1130]), hr=ModbusSequentialDataBlock(0, hr), zero_mode=True)
context = ModbusServerContext(slaves={7: unit}, single=False)
if sys.argv[1] == "tcp":
    StartTcpServer(context=context, address=("127.0.0.1", int(sys.argv[2])))
else:
    StartSerialServer(context=context, framer=ModbusRtuFramer, port=sys.argv[2], baudrate=19200)
`

// TestForeignServer reads both registers over both kinds of line.
func TestForeignServer(t *testing.T) {
	probetest.LeavesNothing(t)
	python := "/usr/bin/python3" // Debian's python3-pymodbus, -serial and -serial-asyncio belong to it
	if exec.Command(python, "-c", "import pymodbus.payload, pymodbus.server, serial").Run() != nil {
		t.Skip("pymodbus is not installed")
	}
	if _, err := exec.LookPath("socat"); err != nil {
		t.Skip("socat is not installed")
	}
	dir := t.TempDir()
	script, ours, theirs := filepath.Join(dir, "server.py"), filepath.Join(dir, "ours"), filepath.Join(dir, "theirs")
	if err := os.WriteFile(script, []byte(foreign), 0o644); err != nil {
		t.Fatal(err)
	}
	start(t, "socat", "PTY,raw,echo=0,link="+ours, "PTY,raw,echo=0,link="+theirs)
	tcp := probetest.FreePort(t)
	start(t, python, script, "tcp", tcp)
	// The serial server needs its end of the line to be there.
	start(t, "sh", "-c", `while [ ! -e "$1" ]; do sleep 0.1; done; exec "$0" "$2" rtu "$1"`, python, theirs, script)
	line, err := port.New(port.Settings{Path: ours, Baud: 19200})
	if err != nil {
		t.Fatal(err)
	}
	for _, way := range []struct {
		name string
		set  Settings
	}{
		{"TCP", Settings{Dial: TCP("127.0.0.1:" + tcp)}},
		{"RTU", Settings{Dial: line.Dial, Serial: true}},
	} {
		input, holding := way.set, way.set
		input.Scale = 0.1
		holding.Function, holding.Register, holding.Type, holding.Order, holding.Unit = 3, 107, Float32, CDAB, probe.UnitF
		t.Run(way.name+" input", func(t *testing.T) { readForeign(t, input, 113) })
		t.Run(way.name+" holding", func(t *testing.T) { readForeign(t, holding, probe.Fahrenheit(235)) })
	}
}

// start runs a program until the test ends.
func start(t *testing.T, name string, args ...string) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	cmd := exec.CommandContext(ctx, name, args...)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cancel(); cmd.Wait() })
}

func readForeign(t *testing.T, s Settings, want probe.Celsius) {
	t.Helper()
	s.Address, s.Name = 7, t.Name()
	src, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	began := time.Now()
	read := 0
	var last probe.Event
	src.Run(ctx, func() time.Duration { return time.Since(began) }, func(e probe.Event) {
		last = e
		if e.HasReading && e.Reading.Fault == probe.FaultNone && math.Abs(float64(e.Reading.C-want)) < 1e-6 {
			if read++; read == 2 {
				cancel()
			}
		}
	})
	if read != 2 {
		t.Errorf("%d readings of %v; last event %+v", read, want, last)
	}
}
