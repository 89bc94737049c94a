package probe

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// unit takes in the unit behind a number. Glued reports that letters follow
// without a gap that are no unit, so that the number is none either.
func (sc *scanner) unit() (u stated, glued bool) {
	j := sc.i
	for j < len(sc.s) && sc.s[j] == ' ' {
		j++
	}
	if j < len(sc.s) && sc.s[j] == '%' {
		sc.i = j + 1
		return statedOther, false
	}
	mark := false
	for _, m := range []string{"°", "*", "'", "^"} {
		if strings.HasPrefix(sc.s[j:], m) {
			mark = true
			j += len(m)
			break
		}
	}
	w, end := sc.wordAt(j)
	if low := strings.ToLower(w); low == "deg" || low == "degree" || low == "degrees" {
		mark = true
		for j = end; j < len(sc.s) && (sc.s[j] == ' ' || sc.s[j] == '.'); j++ {
		}
		w, end = sc.wordAt(j)
	}
	switch strings.ToLower(w) {
	case "c", "celsius", "centigrade", "degc":
		u = statedC
	case "f", "fahrenheit", "degf":
		u = statedF
	}
	if u != statedNone && (mark || !sc.assignAt(end)) {
		sc.i = end
		return u, false
	}
	if mark { // "112.4°" alone
		if strings.HasPrefix(sc.s[sc.i:], "°") {
			sc.i += len("°")
		}
		return statedNone, false
	}
	near := j == sc.i
	if wordsQuantity[strings.ToLower(w)] && (near || !sc.assignAt(end)) {
		sc.i = end
		return statedOther, false
	}
	if near && w != "" {
		for sc.i < len(sc.s) && (isWordByte(sc.s[sc.i]) || sc.s[sc.i] == '.') {
			sc.i++
		}
		return statedNone, true
	}
	return statedNone, near && sc.i < len(sc.s) && sc.s[sc.i] == '.' && sc.digitAt(sc.i+1)
}

// wordAt returns the run of letters, digits and _ at j and where it ends.
func (sc *scanner) wordAt(j int) (string, int) {
	end := j
	for end < len(sc.s) {
		r, size := utf8.DecodeRuneInString(sc.s[end:])
		if !unicode.IsLetter(r) && r != '_' && !isDigit(r) {
			break
		}
		end += size
	}
	if j < len(sc.s) && isDigit(rune(sc.s[j])) {
		return "", j
	}
	return sc.s[j:end], end
}

// assignAt reports whether = or : comes next, so that the word before is the
// label of another number and not the unit of this one.
func (sc *scanner) assignAt(j int) bool {
	for j < len(sc.s) && sc.s[j] == ' ' {
		j++
	}
	return j < len(sc.s) && (sc.s[j] == '=' || sc.s[j] == ':')
}
