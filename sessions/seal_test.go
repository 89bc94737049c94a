package sessions

import (
	"hash/crc32"
	"testing"
)

// The checksums of RFC 3720 (iSCSI), appendix B.4.
func TestCastagnoliIsThatOfRFC3720(t *testing.T) {
	up, down := make([]byte, 32), make([]byte, 32)
	ones := make([]byte, 32)
	for i := range 32 {
		up[i], down[i], ones[i] = byte(i), byte(31-i), 0xff
	}
	for _, tt := range []struct {
		name string
		in   []byte
		want uint32
	}{
		{"32 bytes of zeroes", make([]byte, 32), 0x8a9136aa},
		{"32 bytes of ones", ones, 0x62a8ab43},
		{"32 bytes up", up, 0x46dd794e},
		{"32 bytes down", down, 0x113fdb5c},
	} {
		if got := crc32.Checksum(tt.in, castagnoli); got != tt.want {
			t.Errorf("%s: got %08x, want %08x", tt.name, got, tt.want)
		}
	}
}

func TestUnsealTakesOnlyWhatWasSealed(t *testing.T) {
	line := seal([]byte(`{"k":"ack","t":1.000`), 0)
	line = line[:len(line)-1]
	if body, ok := unseal(line); !ok || string(body) != `{"k":"ack","t":1.000` {
		t.Fatalf("unseal(%s) = %s, %v", line, body, ok)
	}
	for i := range line {
		for change := 1; change < 256; change++ {
			line[i] ^= byte(change)
			if _, ok := unseal(line); ok {
				t.Errorf("byte %d changed to %q: still accepted: %s", i, line[i], line)
			}
			line[i] ^= byte(change)
		}
	}
}
