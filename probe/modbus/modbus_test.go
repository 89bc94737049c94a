package modbus

import (
	"bytes"
	"context"
	"encoding/hex"
	"errors"
	"io"
	"math"
	"net"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
	"boildown/probe/probetest"
)

func unhex(t *testing.T, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(s, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The usual check value of a CRC is that of the text "123456789".
func TestCRC16(t *testing.T) {
	if got := crc16([]byte("123456789")); got != 0x4b37 {
		t.Errorf("%04x, want 4b37", got)
	}
}

// Whole frames of the serial line, check sums computed independently; the
// first is the example of V1.1b3 chapter 6.3 with its check sum.
func TestRTUFrame(t *testing.T) {
	for _, row := range []struct {
		address, function byte
		register, count   uint16
		want              string
	}{
		{0x11, 3, 0x6b, 3, "11 03 00 6B 00 03 76 87"},
		{0x01, 4, 0, 1, "01 04 00 00 00 01 31 CA"},
	} {
		if got := rtuFrame(row.address, request(row.function, row.register, row.count)); !bytes.Equal(got, unhex(t, row.want)) {
			t.Errorf("% X, want %s", got, row.want)
		}
	}
}

func TestRTUAnswer(t *testing.T) {
	for _, row := range []struct {
		name, frame string
		count       uint16
		want        string
		err         error
	}{
		{"113.0 °C as int16 tenths", "01 04 02 04 6A 3B DF", 1, "04 6A", nil},
		{"113.0 °C as float32", "01 04 04 42 E2 00 00 4F CA", 2, "42 E2 00 00", nil},
		{"bit flipped", "01 04 02 04 6B 3B DF", 1, "", errCheck},
		{"check sum swapped", "01 04 02 04 6A DF 3B", 1, "", errCheck},
		{"from another instrument", "02 04 02 04 6A 7F DF", 1, "", errForeign},
		{"too many registers", "01 04 04 42 E2 00 00 4F CA", 1, "", errForeign},
		{"cut short", "01 04 02 04", 1, "", errForeign},
	} {
		frame := unhex(t, row.frame)
		if row.name == "from another instrument" {
			frame = rtuFrame(2, unhex(t, "04 02 04 6A"))
		}
		body, err := rtuBody(frame, 1)
		var data []byte
		if err == nil {
			data, err = registers(body, 4, row.count)
		}
		if !errors.Is(err, row.err) || !bytes.Equal(data, unhex(t, row.want)) {
			t.Errorf("%s: % X, %v; want %s, %v", row.name, data, err, row.want, row.err)
		}
	}
}

// V1.1b3 chapter 7: the function with its top bit set, then the code.
func TestException(t *testing.T) {
	frame := rtuFrame(1, []byte{0x84, 2})
	body, err := rtuBody(frame, 1)
	if err != nil {
		t.Fatal(err)
	}
	_, err = registers(body, 4, 1)
	var e *ExceptionError
	if !errors.As(err, &e) || e.Code != 2 || !e.lasting() || !strings.Contains(e.Error(), "illegal data address") {
		t.Errorf("%v", err)
	}
}

// The same 113.0 in every type and order.
func TestNumber(t *testing.T) {
	for _, row := range []struct {
		typ   Type
		order Order
		bytes string
		want  float64
		fault probe.Fault
	}{
		{Int16, ABCD, "04 6A", 1130, 0},
		{Int16, BADC, "6A 04", 1130, 0},
		{Int16, ABCD, "FF CE", -50, 0},
		{Uint16, ABCD, "FF CE", 65486, 0},
		{Int32, ABCD, "00 00 04 6A", 1130, 0},
		{Int32, CDAB, "04 6A 00 00", 1130, 0},
		{Int32, ABCD, "FF FF FF CE", -50, 0},
		{Uint32, DCBA, "6A 04 00 00", 1130, 0},
		{Float32, ABCD, "42 E2 00 00", 113, 0}, // IEEE 754
		{Float32, CDAB, "00 00 42 E2", 113, 0},
		{Float32, BADC, "E2 42 00 00", 113, 0},
		{Float32, DCBA, "00 00 E2 42", 113, 0},
		{Float32, ABCD, "7F C0 00 00", 0, probe.FaultOpen},
		{Float32, ABCD, "7F 80 00 00", 0, probe.FaultOverRange},
		{Int16, ABCD, "7F FF", 0, probe.FaultOpen},
		{Int16, ABCD, "80 00", 0, probe.FaultOpen},
		{Uint16, ABCD, "FF FF", 0, probe.FaultOpen},
	} {
		if v, fault := row.typ.number(unhex(t, row.bytes), row.order); v != row.want || fault != row.fault {
			t.Errorf("%v %v %s: %v, %q; want %v, %q", row.typ, row.order, row.bytes, v, fault, row.want, row.fault)
		}
	}
}

func TestParseRegister(t *testing.T) {
	for _, row := range []struct {
		in       string
		function byte
		address  uint16
	}{
		{"30001", 4, 0}, {"40001", 3, 0}, {"40108", 3, 107}, {"39999", 4, 9998}, {"400001", 3, 0}, {"365536", 4, 65535},
		{"input:0", 4, 0}, {"holding:107", 3, 107}, {"holding:0x6B", 3, 107},
	} {
		if f, a, err := ParseRegister(row.in); f != row.function || a != row.address || err != nil {
			t.Errorf("%q: function %d address %d, %v; want %d, %d", row.in, f, a, err, row.function, row.address)
		}
	}
	for _, s := range []string{"", "0", "107", "30000", "40000", "20001", "50001", "365537", "input:", "input:65536", "coil:1", "x", "-30001"} {
		if f, a, err := ParseRegister(s); err == nil {
			t.Errorf("%q is taken for function %d address %d", s, f, a)
		}
	}
}

// server answers questions with bodies in turn, on either kind of line.
func server(rw io.ReadWriteCloser, serial bool, bodies func(n int, question []byte) []byte) {
	defer rw.Close()
	size := 12
	if serial {
		size = 8
	}
	for n := 1; ; n++ {
		q := make([]byte, size)
		if _, err := io.ReadFull(rw, q); err != nil {
			return
		}
		body := bodies(n, q)
		if body == nil {
			continue
		}
		var frame []byte
		if serial {
			frame = rtuFrame(q[0], body)
		} else {
			frame = tcpFrame(uint16(q[0])<<8|uint16(q[1]), q[6], body)
		}
		rw.Write(frame[:3]) // in two pieces, as it comes from a network
		rw.Write(frame[3:])
	}
}

func runFor(t *testing.T, life time.Duration, s Settings, bodies func(n int, question []byte) []byte) (events []probe.Event) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		s.Name = "bench"
		s.Dial = func(context.Context) (io.ReadWriteCloser, error) {
			ours, theirs := net.Pipe()
			go server(theirs, s.Serial, bodies)
			return ours, nil
		}
		src, err := New(s)
		if err != nil {
			t.Fatal(err)
		}
		events = probetest.Watch(t, src, life)
		synctest.Wait()
	})
	return events
}

func TestRun(t *testing.T) {
	for _, serial := range []bool{false, true} {
		events := runFor(t, 5*time.Second, Settings{Serial: serial, Scale: 0.1, Unit: probe.UnitF, Register: 7}, func(n int, q []byte) []byte {
			if !bytes.Contains(q, []byte{4, 0, 7, 0, 1}) {
				t.Errorf("question % X", q)
			}
			switch n {
			case 1:
				return []byte{4, 2, 0x09, 0x2e} // 235.0 °F
			case 2:
				return []byte{0x84, 6} // busy
			case 3:
				return nil // no answer: asked again
			case 5:
				return []byte{4, 2, 0x80, 0}
			case 6:
				return []byte{4, 2, 0x7f, 0} // a wrong register
			}
			return []byte{4, 2, 0x09, 0x24} // 234.0 °F
		})
		want := []struct {
			c     probe.Celsius
			fault probe.Fault
		}{{probe.Fahrenheit(235), 0}, {0, probe.FaultReported}, {probe.Fahrenheit(234), 0}, {0, probe.FaultOpen}, {0, probe.FaultImpossible}, {probe.Fahrenheit(234), 0}}
		if len(events) < 1+len(want) || events[0].Link != probe.LinkUp {
			t.Fatalf("serial %v: %+v", serial, events)
		}
		for i, w := range want {
			if r := events[i+1].Reading; math.Abs(float64(r.C-w.c)) > 1e-9 || r.Fault != w.fault {
				t.Errorf("serial %v, reading %d: %+v, want %v, %q", serial, i, r, w.c, w.fault)
			}
		}
	}
}

func TestRun_trouble(t *testing.T) {
	for _, row := range []struct {
		name   string
		bodies func(int, []byte) []byte
		want   string
	}{
		{"wrong register", func(int, []byte) []byte { return []byte{0x84, 2} }, "whether the manual counts from 0 or 1"},
		{"no answer", func(int, []byte) []byte { return nil }, "A and B are not swapped"},
	} {
		events := runFor(t, 10*time.Second, Settings{Serial: true}, row.bodies)
		if len(events) != 1 || events[0].Link != probe.LinkLost || !strings.Contains(events[0].Note, row.want) {
			t.Errorf("%s: %+v, want one loss with %q", row.name, events, row.want)
		}
	}
}

func TestNew_refuses(t *testing.T) {
	dial := TCP("localhost")
	for _, s := range []Settings{{}, {Dial: dial, Function: 6}, {Dial: dial, Serial: true, Address: 248}, {Dial: dial, Scale: -1}, {Dial: dial, Scale: math.NaN()}, {Dial: dial, Type: 9}} {
		if _, err := New(s); err == nil {
			t.Errorf("New(%+v) has no objection", s)
		}
	}
}

// FuzzAnswer: whatever comes, no panic, and nothing without its check sum is
// taken for an answer.
func FuzzAnswer(f *testing.F) {
	f.Add([]byte{1, 4, 2, 4, 0x6a, 0x3b, 0xdf})
	f.Add([]byte{0, 1, 0, 0, 0, 5, 1, 4, 2, 4, 0x6a})
	f.Add([]byte{1, 0x84, 2, 0xc2, 0xc1})
	f.Fuzz(func(t *testing.T, b []byte) {
		if body, err := rtuBody(b, 1); err == nil {
			if whole := rtuFrame(1, body); !bytes.HasPrefix(b, whole) {
				t.Fatalf("% x is taken for % x", b, whole)
			}
			for _, typ := range []Type{Int16, Float32} {
				if data, err := registers(body, 4, typ.count()); err == nil {
					typ.number(data, CDAB)
				}
			}
		}
		if body, err := tcpBody(b, 1, 1); err == nil {
			registers(body, 4, 1)
		}
	})
}
