package mqtt

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"errors"
	"strings"
	"testing"
)

func unhex(t *testing.T, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(s, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The ends of each length, MQTT 5.0 table 1-1.
func TestVarint(t *testing.T) {
	for n, want := range map[int]string{
		0: "00", 127: "7F", 128: "80 01", 321: "C1 02", 16383: "FF 7F", 16384: "80 80 01",
		2097151: "FF FF 7F", 2097152: "80 80 80 01", 268435455: "FF FF FF 7F",
	} {
		b := appendVarint(nil, n)
		if !bytes.Equal(b, unhex(t, want)) {
			t.Errorf("%d: % X, want %s", n, b, want)
		}
		if got, size := varint(b); got != n || size != len(b) {
			t.Errorf("%s reads as %d of %d bytes", want, got, size)
		}
	}
	if _, size := varint(unhex(t, "FF FF FF FF 01")); size != 0 {
		t.Error("five bytes are taken for a length")
	}
}

// A whole message by hand, from the layout in MQTT 5.0, 3.3; 3.1.1 has no
// properties.
func TestPublishPacket(t *testing.T) {
	m := message{Topic: "pot/temp", Payload: []byte("112.8")}
	for level, want := range map[byte]string{
		level5:   "30 10 00 08 70 6F 74 2F 74 65 6D 70 00 31 31 32 2E 38",
		level311: "30 0F 00 08 70 6F 74 2F 74 65 6D 70 31 31 32 2E 38",
	} {
		b := publishPacket(level, m)
		if !bytes.Equal(b, unhex(t, want)) {
			t.Errorf("level %d: % X, want %s", level, b, want)
		}
		p, err := readPacket(bufio.NewReader(bytes.NewReader(b)))
		if err != nil {
			t.Fatal(err)
		}
		got, id, err := parsePublish(level, p)
		if err != nil || id != 0 || got.Topic != m.Topic || string(got.Payload) != "112.8" || got.Retained {
			t.Errorf("level %d reads as %+v, %d, %v", level, got, id, err)
		}
	}
	if b := publishPacket(level311, message{"t", nil, true}); b[0] != 0x31 {
		t.Errorf("retained: %#x", b[0])
	}
}

// MQTT 3.1.1, figure 3.6 has this variable header: "MQTT", level 4, flags,
// keep-alive 10 s.
func TestConnectPacket(t *testing.T) {
	got := connectPacket(level311, "id", "u", "p", 10, &message{Topic: "w", Payload: []byte("x")})
	want := "10 1A 00 04 4D 51 54 54 04 E6 00 0A 00 02 69 64 00 01 77 00 01 78 00 01 75 00 01 70"
	if !bytes.Equal(got, unhex(t, want)) {
		t.Errorf("% X, want %s", got, want)
	}
	got = connectPacket(level5, "id", "", "", 10, nil)
	if want := "10 0F 00 04 4D 51 54 54 05 02 00 0A 00 00 02 69 64"; !bytes.Equal(got, unhex(t, want)) {
		t.Errorf("% X, want %s", got, want)
	}
}

func TestRefusals(t *testing.T) {
	for code, want := range map[byte]error{1: ErrVersion, 4: ErrLogin, 5: ErrLogin, 0x84: ErrVersion, 0x86: ErrLogin, 0x87: ErrLogin} {
		if err := connackError(packet{kind: typeConnack, body: []byte{0, code}}); !errors.Is(err, want) {
			t.Errorf("connect code %#x: %v, want %v", code, err, want)
		}
	}
	var r *RefusedError
	if err := connackError(packet{kind: typeConnack, body: []byte{0, 3}}); !errors.As(err, &r) || r.Code != 3 {
		t.Errorf("code 3: %v", err)
	}
	if err := connackError(packet{kind: typeConnack, body: []byte{0, 0, 0}}); err != nil {
		t.Error(err)
	}
	if err := subackError(packet{body: []byte{0, 1, 0x80}}); !errors.Is(err, ErrTopic) {
		t.Error(err)
	}
}

// FuzzPacket: whatever a broker sends, no panic, and no more memory than a
// message may have.
func FuzzPacket(f *testing.F) {
	f.Add([]byte("\x30\x0f\x00\x08pot/temp112.8"))
	f.Add([]byte("\x32\x11\x00\x08pot/temp\x00\x07112.8"))
	f.Add([]byte{0x20, 2, 0, 0})
	f.Add([]byte{0x30, 0xff, 0xff, 0xff, 0x7f})
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := readPacket(bufio.NewReader(bytes.NewReader(b)))
		if err != nil {
			return
		}
		for _, level := range []byte{level311, level5} {
			if m, _, err := parsePublish(level, p); err == nil && len(m.Topic)+len(m.Payload) > len(b) {
				t.Fatal("more came out than went in")
			}
		}
		connackError(p)
		subackError(p)
	})
}
