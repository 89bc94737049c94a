package modbus

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// The functions that read registers.
const (
	readHolding = 3
	readInput   = 4
)

// What can be wrong with an answer. All but [*ExceptionError] are the cable's.
var (
	errCheck   = errors.New("the check sum of its answer is wrong")
	errForeign = errors.New("the answer is not to this question")
)

// ExceptionError is an instrument's refusal.
type ExceptionError struct{ Code byte }

// exceptions are the words of the specification, V1.1b3 chapter 7.
var exceptions = map[byte]string{
	1: "illegal function", 2: "illegal data address", 3: "illegal data value", 4: "server device failure",
	5: "acknowledge", 6: "server device busy", 10: "gateway path unavailable", 11: "gateway target device failed to respond",
}

func (e *ExceptionError) Error() string {
	w := exceptions[e.Code]
	if w == "" {
		w = "unknown exception"
	}
	return fmt.Sprintf("it answers with exception %d, %s", e.Code, w)
}

// lasting reports whether asking again cannot help.
func (e *ExceptionError) lasting() bool { return e.Code >= 1 && e.Code <= 3 }

// crc16 is the check sum of the serial line: polynomial 0xA001, reflected,
// from 0xFFFF (V1.02, 6.2.2).
func crc16(data []byte) uint16 {
	crc := uint16(0xffff)
	for _, b := range data {
		crc ^= uint16(b)
		for range 8 {
			odd := crc&1 != 0
			crc >>= 1
			if odd {
				crc ^= 0xa001
			}
		}
	}
	return crc
}

// request asks for count registers.
func request(function byte, register, count uint16) []byte {
	b := []byte{function, 0, 0, 0, 0}
	binary.BigEndian.PutUint16(b[1:], register)
	binary.BigEndian.PutUint16(b[3:], count)
	return b
}

// registers takes the data out of an answer, given from its function on.
func registers(answer []byte, function byte, count uint16) ([]byte, error) {
	switch {
	case len(answer) == 2 && answer[0] == function|0x80:
		return nil, &ExceptionError{answer[1]}
	case len(answer) < 2, answer[0] != function, int(answer[1]) != 2*int(count), len(answer) != 2+int(answer[1]):
		return nil, errForeign
	}
	return answer[2:], nil
}

// rtuFrame puts an address and a check sum, low byte first, round a request.
func rtuFrame(address byte, pdu []byte) []byte {
	b := append([]byte{address}, pdu...)
	return binary.LittleEndian.AppendUint16(b, crc16(b))
}

// rtuLen returns the length of the answer that b begins, 0 while that is not
// known.
func rtuLen(b []byte) int {
	switch {
	case len(b) < 3:
		return 0
	case b[1]&0x80 != 0:
		return 5
	}
	return 5 + int(b[2])
}

// rtuBody checks a whole answer and returns it from its function on.
func rtuBody(b []byte, address byte) ([]byte, error) {
	n := rtuLen(b)
	if n == 0 || len(b) < n {
		return nil, errForeign
	}
	b = b[:n]
	if binary.LittleEndian.Uint16(b[n-2:]) != crc16(b[:n-2]) {
		return nil, errCheck
	}
	if b[0] != address {
		return nil, errForeign
	}
	return b[1 : n-2], nil
}

// tcpFrame puts the header of Modbus TCP before a request: a number that comes
// back with the answer, protocol 0, length, unit.
func tcpFrame(id uint16, address byte, pdu []byte) []byte {
	b := make([]byte, 7, 7+len(pdu))
	binary.BigEndian.PutUint16(b, id)
	binary.BigEndian.PutUint16(b[4:], uint16(1+len(pdu)))
	b[6] = address
	return append(b, pdu...)
}

// tcpLen returns the length of the answer that b begins, 0 while that is not
// known.
func tcpLen(b []byte) int {
	if len(b) < 6 {
		return 0
	}
	return 6 + int(binary.BigEndian.Uint16(b[4:]))
}

// tcpBody checks a whole answer and returns it from its function on.
func tcpBody(b []byte, id uint16, address byte) ([]byte, error) {
	n := tcpLen(b)
	switch {
	case n < 8 || len(b) < n, binary.BigEndian.Uint16(b) != id, binary.BigEndian.Uint16(b[2:]) != 0, b[6] != address:
		return nil, errForeign
	}
	return b[7:n], nil
}
