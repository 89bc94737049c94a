package plateau

import (
	"encoding/binary"
	"math"
	"reflect"
	"testing"
	"time"

	"boildown/probe"
)

// fuzzInputs reads inputs of any order, kind and value out of bytes: 8 each.
func fuzzInputs(data []byte) []Input {
	var ins []Input
	at := time.Duration(0)
	for ; len(data) >= 8 && len(ins) < 500; data = data[8:] {
		step := time.Duration(binary.LittleEndian.Uint16(data[2:])) * time.Millisecond
		if data[1]&0x40 != 0 {
			step = -step
		}
		if data[1]&0x80 != 0 {
			step *= 1000
		}
		at += step
		in := Input{
			Kind: Kind(data[0] % byte(kindCount+1)), At: at, Mark: Mark(data[1] & 0x1f),
			Ago:   time.Duration(int16(binary.LittleEndian.Uint16(data[6:]))) * time.Second,
			Fault: probe.Fault(data[6] % 24),
		}
		if data[7]&3 != 0 {
			in.Fault = probe.FaultNone
		}
		v := float64(int16(binary.LittleEndian.Uint16(data[4:]))) / 100
		switch data[7] & 0x7c {
		case 0x7c:
			v = math.NaN()
		case 0x78:
			v = math.Inf(1)
		case 0x74:
			v *= 1e300
		case 0x70:
			in.At = time.Duration(int64(binary.LittleEndian.Uint64(data)))
		}
		in.C, in.Target = probe.Celsius(v), probe.Celsius(v)
		ins = append(ins, in)
	}
	return ins
}

// fuzzBytes is the inverse for plain readings, to seed the corpus with a cook.
func fuzzBytes(ins []Input) []byte {
	var out []byte
	at := time.Duration(0)
	for _, in := range ins {
		var b [8]byte
		b[0], b[1], b[7] = byte(in.Kind), byte(in.Mark)&0x1f, 1
		binary.LittleEndian.PutUint16(b[2:], uint16((in.At-at)/time.Millisecond))
		binary.LittleEndian.PutUint16(b[4:], uint16(int16(float64(in.C)*100)))
		at = in.At
		out = append(out, b[:]...)
	}
	return out
}

// FuzzStep throws any sequence of inputs at the fold: it must not panic, keep
// numbers finite and forecasts in order, and not babble.
func FuzzStep(f *testing.F) {
	f.Add(fuzzBytes(someInputs(300)), 112.8, 3.0, 101325.0)
	f.Add(fuzzBytes(someInputs(200)), 112.8, 0.0, 0.0)
	f.Add([]byte{2, 3, 0, 0, 0, 0, 0, 1, 0, 0, 232, 3, 16, 39, 0, 1}, -1.0, 60.0, 8e4)
	f.Add([]byte{0, 0, 232, 3, 16, 39, 0, 0x7c}, math.NaN(), -4.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, data []byte, target, lag, pressure float64) {
		if !(lag > -100 && lag < 100) {
			lag = 0
		}
		s := Start(Config{Target: probe.Celsius(target), Lag: time.Duration(lag * float64(time.Second)), Pressure: pressure})
		began := 0
		for i, in := range fuzzInputs(data) {
			var a Advice
			s, a = Step(s, in)
			sum := float64(a.C) + float64(a.Now) + a.Slope + a.Water + a.CreamG + float64(a.Floor) + float64(a.Peak) + float64(a.Target)
			if math.IsNaN(sum) || math.IsInf(sum, 0) {
				t.Fatalf("input %d %+v: not finite: %+v", i, in, a)
			}
			if fc := a.Forecast; fc.Low < 0 || fc.Low > fc.ETA || fc.ETA > fc.High {
				t.Fatalf("input %d: forecast out of order: %+v", i, fc)
			}
			if a.Began&^a.Standing != 0 || a.Quiet&^a.Standing != 0 {
				t.Fatalf("input %d: began %b, quiet %b, standing %b", i, a.Began, a.Quiet, a.Standing)
			}
			for p := range a.Began.All {
				began++
				if p.Text(a, probe.UnitF) == "" {
					t.Fatalf("input %d: prompt %v has no text", i, p)
				}
			}
		}
		if p := firstNaN(reflect.ValueOf(s), "State"); p != "" {
			t.Fatalf("%s is not finite", p)
		}
		if most := 40 + len(data)/8; began > most {
			t.Fatalf("%d prompts from %d inputs", began, len(data)/8)
		}
	})
}
