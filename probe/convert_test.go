package probe

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tol)
	}
}

// The printed type K table, mV to three decimals, cold junction at 0 °C (NIST
// Monograph 175 / IEC 60584-1; 113 °C from memory). Tolerance: half the last
// digit printed.
func TestTypeK(t *testing.T) {
	for _, row := range []struct {
		c  Celsius
		mV float64
	}{
		{0, 0}, {10, .397}, {20, .798}, {25, 1}, {50, 2.023}, {100, 4.096}, {110, 4.509}, {Fahrenheit(235), 4.623},
		{113, 4.633}, {Fahrenheit(240), 4.738}, {120, 4.920}, {150, 6.138}, {170, 6.941}, {180, 7.340}, {200, 8.138},
	} {
		near(t, "mV", TypeKMillivolts(row.c), row.mV, 0.0005+1e-9)
		c, fault := TypeK(row.mV, 0)
		if fault != FaultNone {
			t.Errorf("%v mV: %v", row.mV, fault)
		}
		near(t, "°C", float64(c), float64(row.c), 0.0005/0.039) // half a digit through the slope
	}
	near(t, "slope at 113 °C", (TypeKMillivolts(113.5)-TypeKMillivolts(112.5))*1000, 41.1, 0.05) // µV/K, the same table
}

// A warm cold junction adds its voltage, not its temperature.
func TestTypeK_coldJunction(t *testing.T) {
	for _, cold := range []Celsius{0, 18.5, 25, 40} {
		for c := Celsius(1); c < 500; c += 7.3 {
			mV := TypeKMillivolts(c) - TypeKMillivolts(cold)
			got, fault := TypeK(mV, cold)
			if fault != FaultNone {
				t.Fatalf("%v °C over %v °C: %v", c, cold, fault)
			}
			near(t, "there and back", float64(got), float64(c), 1e-4)
		}
	}
	for _, row := range []struct {
		mV   float64
		cold Celsius
	}{{21, 0}, {-1, 0}, {20.5, 25}, {math.Inf(1), 25}} {
		if c, fault := TypeK(row.mV, row.cold); fault != FaultOverRange {
			t.Errorf("%v mV over %v °C: %v, %q; want over range", row.mV, row.cold, c, fault)
		}
	}
}

// IEC 60751 reference resistances, Ω to four decimals.
func TestPt100(t *testing.T) {
	for _, row := range []struct {
		c Celsius
		r float64
	}{
		{-200, 18.5201}, {-100, 60.2558}, {0, 100}, {50, 119.3971}, {100, 138.5055}, {113, 143.4264},
		{150, 157.3251}, {200, 175.8560}, {400, 247.0920}, {850, 390.4811},
	} {
		near(t, "Ω", Pt100Ohms(row.c), row.r, 5e-5+1e-9)
		c, fault := Pt100(Pt100Ohms(row.c))
		if fault != FaultNone {
			t.Errorf("%v °C: %v", row.c, fault)
		}
		near(t, "°C", float64(c), float64(row.c), 1e-6)
	}
	for _, row := range []struct {
		r    float64
		want Fault
	}{{0, FaultShort}, {9, FaultShort}, {12, FaultOverRange}, {395, FaultOverRange}, {401, FaultOpen}, {math.Inf(1), FaultOpen}, {math.NaN(), FaultOpen}} {
		if _, fault := Pt100(row.r); fault != row.want {
			t.Errorf("%v Ω: %q, want %q", row.r, fault, row.want)
		}
	}
}

// The data sheet's table of temperatures and register values.
func TestDS18B20(t *testing.T) {
	for word, want := range map[uint16]Celsius{
		0x07d0: 125, 0x0550: 85, 0x0191: 25.0625, 0x00a2: 10.125, 0x0008: 0.5, 0x0000: 0,
		0xfff8: -0.5, 0xff5e: -10.125, 0xfe6f: -25.0625, 0xfc90: -55,
	} {
		if got := DS18B20(word); got != want {
			t.Errorf("%04x: %v, want %v", word, got, want)
		}
	}
}

func TestDS18B20Scratchpad(t *testing.T) {
	ok := [9]byte{0x91, 0x01, 0x4b, 0x46, 0x7f, 0xff, 0x0f, 0x10}
	ok[8] = CRC8(ok[:8])
	bad := ok
	bad[0] ^= 1
	weak := [9]byte{0xff, 0x07, 0x4b, 0x46, 0x7f, 0xff, 0x01, 0x10}
	weak[8] = CRC8(weak[:8])
	hot := [9]byte{0x50, 0x05, 0x4b, 0x46, 0x7f, 0xff, 0x0f, 0x10} // truly 85 °C: byte 6 is not 0c
	hot[8] = CRC8(hot[:8])
	ones := [9]byte{255, 255, 255, 255, 255, 255, 255, 255, 255}
	for _, row := range []struct {
		name  string
		b     [9]byte
		want  Celsius
		fault Fault
	}{
		{"measured", ok, 25.0625, FaultNone},
		{"power-on", [9]byte{0x50, 0x05, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10, 0x1c}, 85, FaultPowerOn}, // data sheet's power-on state
		{"85 measured", hot, 85, FaultNone},
		{"bit flipped", bad, 0, FaultGarbled},
		{"low power", weak, 127.9375, FaultReported},
		{"no sensor", ones, 0, FaultOpen},
		{"line held down", [9]byte{}, 0, FaultShort},
	} {
		if c, fault := DS18B20Scratchpad(row.b); c != row.want || fault != row.fault {
			t.Errorf("%s: %v, %q; want %v, %q", row.name, c, fault, row.want, row.fault)
		}
	}
}

// The usual check value of a CRC is that of the text "123456789".
func TestCRC8(t *testing.T) {
	if got := CRC8([]byte("123456789")); got != 0xa1 {
		t.Errorf("CRC8 = %02x, want a1", got)
	}
}

// Water boils at 98.312 °C at 95 461 Pa (IAPWS-IF97).
func TestTwoPoint(t *testing.T) {
	k, err := TwoPoint(0.6, 99.1, 98.312)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gain", k.Gain, 0.99810, 1e-5)
	near(t, "ice", float64(k.Apply(0.6)), 0, 1e-9)
	near(t, "boil", float64(k.Apply(99.1)), 98.312, 1e-9)
	near(t, "113.3", float64(k.Apply(113.3)), 112.485, 5e-4)

	for _, row := range []struct {
		name             string
		ice, boil, water Celsius
	}{
		{"offset too large", 3.5, 103, 100}, {"gain too small", 0, 104, 100}, {"gain too large", 0, 96, 100},
		{"swapped", 99, 0.6, 98.3}, {"no ice", 60, 99, 98.3}, {"in °F", 33.1, 210.4, 98.3}, {"nothing", 0, 0, 100},
	} {
		if k, err := TwoPoint(row.ice, row.boil, row.water); err == nil {
			t.Errorf("%s: accepted as %+v", row.name, k)
		}
	}
	if k, err := OnePoint(99.1, 98.3); err != nil || math.Abs(float64(k.Apply(99.1))-98.3) > 1e-9 {
		t.Errorf("one point: %+v, %v", k, err)
	}
	if _, err := OnePoint(104, 100); err == nil {
		t.Error("one point 4 K off is accepted")
	}
}
