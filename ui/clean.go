package ui

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Clean returns s fit for the screen: control bytes, escape sequences'
// introducers, text-direction overrides and broken UTF-8 are gone, every kind
// of space is one space. It is meant for all text that comes from outside.
func Clean(s string) string {
	ok := true
	for _, r := range s {
		if !printable(r) {
			ok = false
			break
		}
	}
	if ok && utf8.ValidString(s) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == utf8.RuneError:
		case printable(r):
			b.WriteRune(r)
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		}
	}
	return b.String()
}

// printable leaves out the invisible format characters as well: joiners and
// direction marks can hide or reorder what stands beside them.
func printable(r rune) bool {
	if r < 0x7f {
		return r >= 0x20
	}
	return unicode.IsPrint(r) && r != utf8.RuneError || unicode.Is(unicode.Mn, r)
}
