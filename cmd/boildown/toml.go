package main

import (
	"strings"

	"github.com/BurntSushi/toml"
)

// Bounds of the TOML that is decoded. The decoder keeps the whole path of every
// key, so that a few thousand levels in a file of 20 KB take gigabytes.
const (
	maxTOMLDepth = 20   // brackets within each other, or parts of a key
	maxTOMLKey   = 1000 // bytes of a key with all its parts
)

// decodeTOML is [toml.Decode] for a file that a stranger may have written.
func decodeTOML(text string, into any) (toml.MetaData, error) {
	if line := excessIn(text); line > 0 {
		return toml.MetaData{}, toml.ParseError{Message: "too deep or too long a key", Position: toml.Position{Line: line}}
	}
	return toml.Decode(text, into)
}

// excessIn returns the first line of the text that is beyond the bounds, 0 for
// none. Where it takes something for a string that the decoder does not, the
// decoder finds an error there and reads no further.
func excessIn(text string) (line int) {
	depth, parts, key := 0, 0, 0 // key is where the present one may have begun
	line = 1
	for i := 0; i < len(text); i++ {
		switch c := text[i]; c {
		case '\n':
			line++
			parts, key = 0, i
		case '#':
			i += len(text[i:]) - len(strings.TrimLeftFunc(text[i:], func(r rune) bool { return r != '\n' })) - 1
		case '"', '\'':
			end := stringEnd(text, i)
			line += strings.Count(text[i:end], "\n")
			i = end - 1
			key = i // a long text is no long key
		case '[', '{':
			depth++
			parts, key = 0, i
		case '.':
			parts++
		case ',':
			parts, key = 0, i
		case ']', '}', '=':
			if i-key > maxTOMLKey {
				return line
			}
			if c != '=' {
				depth--
			}
			parts, key = 0, i
		}
		if depth > maxTOMLDepth || parts > maxTOMLDepth {
			return line
		}
	}
	return 0
}

// stringEnd is where the string ends that begins at i.
func stringEnd(text string, i int) int {
	quote := text[i : i+1]
	if whole := strings.Repeat(quote, 3); strings.HasPrefix(text[i:], whole) {
		for n := i + 3; n < len(text); n++ {
			switch {
			case text[n] == '\\' && quote == `"`:
				n++
			case strings.HasPrefix(text[n:], whole):
				end := n + 3
				for end < min(n+5, len(text)) && text[end] == quote[0] {
					end++ // one or two more belong to the string
				}
				return end
			}
		}
		return len(text)
	}
	for n := i + 1; n < len(text); n++ {
		switch {
		case text[n] == '\\' && quote == `"`:
			n++
		case text[n] == quote[0]:
			return n + 1
		case text[n] == '\n':
			return n
		}
	}
	return len(text)
}
