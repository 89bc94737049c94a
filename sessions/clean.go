package sessions

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxText bounds every free text in a session, in bytes.
const maxText = 2000

// clean makes foreign text harmless to show: control characters, escapes and
// the marks that turn the writing direction round become spaces, broken UTF-8
// is replaced, and what is over max bytes is cut at a character.
func clean(s string, max int) string {
	if len(s) > max {
		s = s[:max]
		for len(s) > 0 && !utf8.ValidString(s[len(s)-min(len(s), utf8.UTFMax):]) && !utf8.RuneStart(s[len(s)-1]) {
			s = s[:len(s)-1]
		}
		if r, n := utf8.DecodeLastRuneInString(s); r == utf8.RuneError && n == 1 {
			s = s[:len(s)-1]
		}
	}
	s = clip(strings.ToValidUTF8(s, "\uFFFD"), max) // each broken byte has become three
	return strings.Map(harmless, s)
}

// cleanLines is clean for text of several lines, which keeps its line ends.
func cleanLines(s string, max int) string {
	lines := strings.Split(strings.ReplaceAll(s, "\r\n", "\n"), "\n")
	for i := range lines {
		lines[i] = clean(strings.ReplaceAll(lines[i], "\t", "    "), max)
	}
	return clip(strings.Join(lines, "\n"), max)
}

func clip(s string, max int) string {
	if len(s) <= max {
		return s
	}
	return strings.ToValidUTF8(s[:max], "")
}

func harmless(r rune) rune {
	if Unsafe(r) {
		return ' '
	}
	return r
}

// Unsafe reports whether r could move a terminal's cursor, start an escape
// sequence or turn the writing direction.
func Unsafe(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' ||
		r >= '\u202A' && r <= '\u202E' || r >= '\u2066' && r <= '\u2069' || r == '\u200E' || r == '\u200F' || r == '\u061C'
}
