package mqtt

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// Packet types (MQTT 3.1.1 and 5.0, 2.2.1 and 2.1.2).
const (
	typeConnect    = 1
	typeConnack    = 2
	typePublish    = 3
	typePuback     = 4
	typeSubscribe  = 8
	typeSuback     = 9
	typePingreq    = 12
	typePingresp   = 13
	typeDisconnect = 14
)

// Protocol levels.
const (
	level311 = 4
	level5   = 5
)

// packetMax bounds what is taken from a broker, in bytes.
const packetMax = 64 << 10

var errMalformed = errors.New("the broker sent a malformed packet")

// packet is one control packet: its first byte and all after the length.
type packet struct {
	kind  byte // type
	flags byte // the low half of the first byte
	body  []byte
}

// appendVarint appends n as a variable byte integer (5.0, 1.5.5).
func appendVarint(b []byte, n int) []byte {
	for n > 127 {
		b = append(b, byte(n)|0x80)
		n >>= 7
	}
	return append(b, byte(n))
}

// varint reads a variable byte integer and returns how long it is, 0 if it is
// none.
func varint(b []byte) (n, size int) {
	for i := 0; i < 4 && i < len(b); i++ {
		n |= int(b[i]&0x7f) << (7 * i)
		if b[i]&0x80 == 0 {
			return n, i + 1
		}
	}
	return 0, 0
}

func appendText(b []byte, s string) []byte {
	b = binary.BigEndian.AppendUint16(b, uint16(len(s)))
	return append(b, s...)
}

// text reads a length-prefixed string and returns the rest.
func text(b []byte) (s string, rest []byte, ok bool) {
	if len(b) < 2 {
		return "", nil, false
	}
	n := int(binary.BigEndian.Uint16(b))
	if len(b) < 2+n {
		return "", nil, false
	}
	return string(b[2 : 2+n]), b[2+n:], true
}

// frame puts the fixed header before a body.
func frame(first byte, body []byte) []byte {
	return append(appendVarint([]byte{first}, len(body)), body...)
}

// readPacket reads one packet.
func readPacket(r *bufio.Reader) (packet, error) {
	first, err := r.ReadByte()
	if err != nil {
		return packet{}, err
	}
	var head []byte
	for {
		b, err := r.ReadByte()
		if err != nil {
			return packet{}, err
		}
		head = append(head, b)
		if b&0x80 == 0 {
			break
		}
		if len(head) == 4 {
			return packet{}, errMalformed
		}
	}
	n, _ := varint(head)
	if n > packetMax {
		return packet{}, fmt.Errorf("the broker sent a message of %d bytes, more than any reading has", n)
	}
	p := packet{kind: first >> 4, flags: first & 15, body: make([]byte, n)}
	_, err = io.ReadFull(r, p.body)
	return p, err
}

// message is an application message.
type message struct {
	Topic    string
	Payload  []byte
	Retained bool
}

// publishPacket encodes a message sent at most once.
func publishPacket(level byte, m message) []byte {
	first := byte(typePublish << 4)
	if m.Retained {
		first |= 1
	}
	body := appendText(nil, m.Topic)
	if level == level5 {
		body = append(body, 0) // no properties
	}
	return frame(first, append(body, m.Payload...))
}

// parsePublish decodes a message; id is that of an acknowledgement owed, 0 for
// none.
func parsePublish(level byte, p packet) (m message, id uint16, err error) {
	topic, rest, ok := text(p.body)
	if !ok {
		return m, 0, errMalformed
	}
	if qos := p.flags >> 1 & 3; qos > 0 {
		if len(rest) < 2 {
			return m, 0, errMalformed
		}
		id, rest = binary.BigEndian.Uint16(rest), rest[2:]
	}
	if level == level5 {
		if rest, ok = skipProperties(rest); !ok {
			return m, 0, errMalformed
		}
	}
	return message{Topic: topic, Payload: rest, Retained: p.flags&1 != 0}, id, nil
}

func skipProperties(b []byte) (rest []byte, ok bool) {
	n, size := varint(b)
	if size == 0 || len(b) < size+n {
		return nil, false
	}
	return b[size+n:], true
}

// subscribePacket asks for one topic, at most once.
func subscribePacket(level byte, id uint16, topic string) []byte {
	body := binary.BigEndian.AppendUint16(nil, id)
	if level == level5 {
		body = append(body, 0)
	}
	return frame(typeSubscribe<<4|2, append(appendText(body, topic), 0))
}

// connectPacket opens a session that starts anew. Will may be nil.
func connectPacket(level byte, client, user, password string, keepSeconds uint16, will *message) []byte {
	flags := byte(0x02) // clean session, clean start
	if user != "" {
		flags |= 0x80
	}
	if password != "" {
		flags |= 0x40
	}
	if will != nil {
		flags |= 0x04 | 0x20 // retained
	}
	body := append(appendText(nil, "MQTT"), level, flags)
	body = binary.BigEndian.AppendUint16(body, keepSeconds)
	if level == level5 {
		body = append(body, 0)
	}
	body = appendText(body, client)
	if will != nil {
		if level == level5 {
			body = append(body, 0)
		}
		body = appendText(appendText(body, will.Topic), string(will.Payload))
	}
	if user != "" {
		body = appendText(body, user)
	}
	if password != "" {
		body = appendText(body, password)
	}
	return frame(typeConnect<<4, body)
}
