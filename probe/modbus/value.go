package modbus

import (
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"

	"boildown/probe"
)

// Type is how a number lies in the registers. The zero value is a signed
// 16-bit whole number, as most temperature controllers have it.
type Type uint8

// The types.
const (
	Int16 Type = iota
	Uint16
	Int32
	Uint32
	Float32
)

var typeNames = []string{"int16", "uint16", "int32", "uint32", "float32"}

// String returns "int16" and so on.
func (t Type) String() string { return typeNames[t] }

// ParseType reads "int16", "uint16", "int32", "uint32" or "float32".
func ParseType(s string) (Type, error) {
	for i, n := range typeNames {
		if strings.EqualFold(s, n) {
			return Type(i), nil
		}
	}
	return 0, fmt.Errorf("modbus: %q is no register type: it is one of %s", s, strings.Join(typeNames, ", "))
}

// count returns the number of registers that the type takes.
func (t Type) count() uint16 {
	if t >= Int32 {
		return 2
	}
	return 1
}

// Order is in what order the four bytes of two registers come. The zero value
// is the standard's, most significant first.
type Order uint8

// The orders, by how they put A (most significant) to D.
const (
	ABCD Order = iota
	CDAB       // low register first
	BADC       // bytes swapped within each register
	DCBA       // both
)

var orderNames = []string{"ABCD", "CDAB", "BADC", "DCBA"}

// String returns "ABCD" and so on.
func (o Order) String() string { return orderNames[o] }

// ParseOrder reads "ABCD", "CDAB", "BADC" or "DCBA".
func ParseOrder(s string) (Order, error) {
	for i, n := range orderNames {
		if strings.EqualFold(s, n) {
			return Order(i), nil
		}
	}
	return 0, fmt.Errorf("modbus: %q is no byte order: it is one of %s", s, strings.Join(orderNames, ", "))
}

// arrange puts the bytes of one or two registers into the standard's order.
func (o Order) arrange(b []byte) []byte {
	if len(b) == 2 {
		if o == BADC || o == DCBA {
			return []byte{b[1], b[0]}
		}
		return b
	}
	place := [...][4]int{ABCD: {0, 1, 2, 3}, CDAB: {2, 3, 0, 1}, BADC: {1, 0, 3, 2}, DCBA: {3, 2, 1, 0}}[o]
	return []byte{b[place[0]], b[place[1]], b[place[2]], b[place[3]]}
}

// number reads the registers. The ends of the signed ranges stand for an open
// sensor in many instruments (common practice, no source), as NaN does.
func (t Type) number(b []byte, o Order) (float64, probe.Fault) {
	b = o.arrange(b)
	switch t {
	case Int16:
		v := int16(binary.BigEndian.Uint16(b))
		if v == math.MinInt16 || v == math.MaxInt16 {
			return 0, probe.FaultOpen
		}
		return float64(v), probe.FaultNone
	case Uint16:
		v := binary.BigEndian.Uint16(b)
		if v == math.MaxUint16 {
			return 0, probe.FaultOpen
		}
		return float64(v), probe.FaultNone
	case Int32:
		v := int32(binary.BigEndian.Uint32(b))
		if v == math.MinInt32 || v == math.MaxInt32 {
			return 0, probe.FaultOpen
		}
		return float64(v), probe.FaultNone
	case Uint32:
		return float64(binary.BigEndian.Uint32(b)), probe.FaultNone
	}
	v := float64(math.Float32frombits(binary.BigEndian.Uint32(b)))
	switch {
	case math.IsNaN(v):
		return 0, probe.FaultOpen
	case math.IsInf(v, 0):
		return 0, probe.FaultOverRange
	}
	return v, probe.FaultNone
}

// ParseRegister reads a register as manuals print it: 30001–39999 and
// 300001–365536 are input registers, which function 4 reads, 40001–49999 and
// 400001–465536 holding registers, which function 3 reads, both counted from
// one; "input:0" and "holding:0" give the address on the wire, counted from
// zero.
func ParseRegister(s string) (function byte, address uint16, err error) {
	bad := fmt.Errorf("modbus: %q is no register: write it as the manual does, 30001 for the first input and 40001 for the first holding register, or input:0 and holding:0 for addresses from zero", s)
	kind, digits, named := strings.Cut(s, ":")
	if !named {
		digits = s
	}
	n, errN := strconv.ParseUint(digits, 0, 32)
	if errN != nil {
		return 0, 0, bad
	}
	if named {
		function = map[string]byte{"input": readInput, "holding": readHolding}[strings.ToLower(kind)]
		if function == 0 || n > math.MaxUint16 {
			return 0, 0, bad
		}
		return function, uint16(n), nil
	}
	base := uint64(10_000)
	if len(digits) == 6 {
		base = 100_000
	}
	function = map[uint64]byte{3: readInput, 4: readHolding}[n/base]
	n %= base
	if function == 0 || n < 1 || n > 65536 || len(digits) != 5 && len(digits) != 6 {
		return 0, 0, bad
	}
	return function, uint16(n - 1), nil
}
