package sessions

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"hash/crc32"
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const (
	sealHead = `,"crc":"`
	sealLen  = len(sealHead) + 8 + len(`"}`)
)

// seal closes the JSON object that begins at b[start:] and lacks its last
// brace, with the checksum of its bytes and a line end.
func seal(b []byte, start int) []byte {
	var sum [4]byte
	binary.BigEndian.PutUint32(sum[:], crc32.Checksum(b[start:], castagnoli))
	b = append(b, sealHead...)
	b = hex.AppendEncode(b, sum[:])
	return append(b, '"', '}', '\n')
}

// sealed writes v, a struct, as one line.
func sealed(v any) ([]byte, error) {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	b := bytes.TrimRight(buf.Bytes(), "\n")
	return seal(b[:len(b)-1], 0), nil
}

// unseal returns a line's object without its checksum and last brace, and
// whether the checksum fits. The line comes without its line end.
func unseal(line []byte) (body []byte, ok bool) {
	if len(line) < sealLen+1 || line[0] != '{' {
		return nil, false
	}
	body, tail := line[:len(line)-sealLen], line[len(line)-sealLen:]
	if string(tail[:len(sealHead)]) != sealHead || string(tail[sealLen-2:]) != `"}` {
		return nil, false
	}
	var want uint32
	for _, c := range tail[len(sealHead) : len(sealHead)+8] {
		switch {
		case '0' <= c && c <= '9':
			want = want<<4 | uint32(c-'0')
		case 'a' <= c && c <= 'f':
			want = want<<4 | uint32(c-'a'+10)
		default:
			return nil, false
		}
	}
	return body, crc32.Checksum(body, castagnoli) == want
}
