package probe

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// clean takes escape sequences and edge noise off a line and turns every way
// of writing a degree sign into one. OK is false when bytes are left that no
// text holds: then a digit may have been lost as well, and nothing in the line
// can be trusted.
func clean(line string) (text string, ok bool) {
	line = strings.Trim(line, "\x00 \t\r\n") // boards that send the NUL that ends a C string
	var b strings.Builder
	for i := 0; i < len(line); {
		if line[i] == 0x1b {
			n := escapeLen(line[i:])
			if n == 0 {
				return "", false
			}
			i += n
			continue
		}
		r, size := utf8.DecodeRuneInString(line[i:])
		switch {
		case r == utf8.RuneError, r == 'º', r == '˚', r == 'ß':
			// Latin-1, display and DOS code pages have the degree sign at B0, BA, DF, F8.
			if !isDegree(line[i:], r, size) {
				if r == utf8.RuneError {
					return "", false
				}
				b.WriteRune(r)
				break
			}
			b.WriteRune('°')
		case r == '℃':
			b.WriteString("°C")
		case r == '℉':
			b.WriteString("°F")
		case r == '−':
			b.WriteByte('-')
		case r == '\t':
			b.WriteByte('\t')
		case r == '\u00a0', r == '\u202f', r == '\u2009':
			b.WriteByte(' ')
		case !unicode.IsPrint(r):
			return "", false
		default:
			b.WriteRune(r)
		}
		i += size
	}
	return strings.Trim(b.String(), " \t"), true
}

// isDegree reports whether the rune of the given size at the start of s stands
// for a degree sign, as it can only where C or F follows.
func isDegree(s string, r rune, size int) bool {
	if r == utf8.RuneError && size == 1 && !degreeByte(s[0]) {
		return false
	}
	rest := strings.TrimLeft(s[size:], " ")
	return rest != "" && strings.IndexByte("CcFf", rest[0]) >= 0
}

func degreeByte(c byte) bool { return c == 0xb0 || c == 0xba || c == 0xdf || c == 0xf8 }

// escapeLen returns the length of the terminal escape sequence that s begins
// with, 0 for one that does not end (ECMA-48 §5.3, §5.4, §5.6).
func escapeLen(s string) int {
	if len(s) < 2 {
		return 0
	}
	switch s[1] {
	case '[': // control sequence: parameters, then a final byte
		for i := 2; i < len(s); i++ {
			if s[i] >= 0x40 && s[i] <= 0x7e {
				return i + 1
			}
			if s[i] < 0x20 || s[i] > 0x3f {
				return 0
			}
		}
		return 0
	case ']', 'P', 'X', '^', '_': // control string: up to BEL or ST
		for i := 2; i < len(s); i++ {
			if s[i] == 0x07 {
				return i + 1
			}
			if s[i] == 0x1b && i+1 < len(s) && s[i+1] == '\\' {
				return i + 2
			}
		}
		return 0
	}
	return 2
}

// Printable returns s fit to be shown on a terminal: escape sequences are
// taken out, and every other control byte, and every byte that is not text,
// stands as "·".
func Printable(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		if s[i] == 0x1b {
			if n := escapeLen(s[i:]); n > 0 {
				i += n
				continue
			}
		}
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == '\t':
			b.WriteByte(' ')
		case r == utf8.RuneError && size == 1, !unicode.IsPrint(r):
			b.WriteRune('·')
		default:
			b.WriteRune(r)
		}
		i += size
	}
	return b.String()
}
