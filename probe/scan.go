package probe

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// stated is the unit that the text gives a number.
type stated uint8

const (
	statedNone stated = iota
	statedC
	statedF
	statedOther // volts, percent, seconds …: no temperature
)

// item is a number in a line, or the word that stands in its place, with what
// the line says about it.
type item struct {
	label    string   // the words before it as printed, single-spaced
	tail     string   // those after the last separator
	words    []string // the same, cut where "tempC" and "temp_c" join two
	unknown  bool     // a word or mark among them makes it something else
	named    bool     // a word among them names a temperature
	assigned bool     // = or : stands before it
	ordinal  bool     // it only numbers what follows
	bad      bool     // digits that are no number
	whole    bool     // no decimals
	cut      bool     // it ends at a comma that may be a decimal one
	text     string   // as printed
	value    float64
	unit     stated
	fault    Fault // a fault word stood in the number's place
}

// scanned is a line taken apart.
type scanned struct {
	items []item
	words []string // all words, in lower case
	loose []string // the words after the last item
	odd   bool     // a mark that is in no measurement stands after the last item
}

// scanner walks over one line.
type scanner struct {
	s     string
	i     int
	comma bool
	out   scanned
	label []string // words since the last item
	tail  int      // index in label after the last separator
	cur   item     // flags for the item to come
}

// scan takes a clean line apart. With comma every comma between digits is a
// decimal one.
func scan(s string, comma bool) scanned {
	sc := scanner{s: s, comma: comma}
	for sc.i < len(sc.s) {
		sc.step()
	}
	sc.out.odd = sc.cur.unknown
	sc.out.loose = sc.label
	return sc.out
}

func (sc *scanner) step() {
	r, size := utf8.DecodeRuneInString(sc.s[sc.i:])
	switch {
	case isDigit(r), sc.signAhead(r):
		sc.number()
		return
	case unicode.IsLetter(r) || r == '_':
		sc.word()
		return
	case r == '=' || r == ':':
		sc.cur.assigned = true
	case r == ',' || r == ';' || r == '|':
		sc.tail = len(sc.label)
	case r == '-':
		size = sc.dashes()
	case strings.ContainsRune(" \t()[]{}<>\"'!.°", r):
	default:
		sc.cur.unknown = true
	}
	sc.i += size
}

// signAhead reports whether a sign or a point begins a number here.
func (sc *scanner) signAhead(r rune) bool {
	switch {
	case r == '.':
		return sc.digitAt(sc.i+1) && (sc.i == 0 || !isWordByte(sc.s[sc.i-1]))
	case r == '+', r == '-' && (sc.i == 0 || !isWordByte(sc.s[sc.i-1])):
		return sc.digitAt(sc.i+1) || sc.i+1 < len(sc.s) && sc.s[sc.i+1] == '.' && sc.digitAt(sc.i+2)
	}
	return false
}

// dashes takes in a run of dashes: "---" stands for no value, one dash joins
// two words or is half an arrow, and anything else is a mark without meaning.
func (sc *scanner) dashes() int {
	n := 0
	for sc.i+n < len(sc.s) && (sc.s[sc.i+n] == '-' || n > 0 && sc.s[sc.i+n] == '.') {
		n++
	}
	next := sc.i + n
	switch {
	case n > 1:
		sc.addWord("nan")
	case next < len(sc.s) && sc.s[next] == '>':
	case sc.i > 0 && isWordByte(sc.s[sc.i-1]) && next < len(sc.s) && isWordByte(sc.s[next]) && !sc.digitAt(next):
	default:
		sc.cur.unknown = true
	}
	return n
}

// word takes in a word, and makes it an item where it says that a number is
// missing.
func (sc *scanner) word() {
	start := sc.i
	if len(sc.s) >= start+3 && strings.EqualFold(sc.s[start:start+3], "n/a") {
		sc.i += 3
		sc.addWord("nan")
		return
	}
	for sc.i < len(sc.s) {
		r, size := utf8.DecodeRuneInString(sc.s[sc.i:])
		if !unicode.IsLetter(r) && !isDigit(r) && r != '_' {
			break
		}
		sc.i += size
	}
	w := sc.s[start:sc.i]
	if isDigit(rune(w[len(w)-1])) && sc.i < len(sc.s) && sc.s[sc.i] == '.' && sc.digitAt(sc.i+1) {
		// "T112.4": where the name ends and the number begins is a guess.
		for sc.i < len(sc.s) && (isWordByte(sc.s[sc.i]) || sc.s[sc.i] == '.') {
			sc.i++
		}
		w = sc.s[start:sc.i]
	}
	sc.addWord(w)
}

func (sc *scanner) addWord(w string) {
	low := strings.ToLower(w)
	sc.out.words = append(sc.out.words, low)
	if f, ok := wordsFault[low]; ok && sc.cur.assigned {
		sc.cur.text, sc.cur.fault = w, f
		sc.emit()
		return
	}
	sc.label = append(sc.label, w)
	for _, part := range keyWords(w) {
		switch kindOf(part) {
		case wordTemperature:
			sc.cur.named = true
		case wordUnknown:
			sc.cur.unknown = true
		}
	}
}

// emit hands over the item and starts on the next one.
func (sc *scanner) emit() {
	it := sc.cur
	it.label = strings.Join(sc.label, " ")
	it.tail = strings.Join(sc.label[min(sc.tail, len(sc.label)):], " ")
	for _, w := range sc.label {
		it.words = append(it.words, keyWords(w)...)
	}
	sc.out.items = append(sc.out.items, it)
	if it.ordinal { // it belongs to the name of what follows
		sc.label = append(sc.label, it.text)
		sc.cur = item{unknown: it.unknown, named: it.named}
		return
	}
	sc.label, sc.tail, sc.cur = nil, 0, item{}
}

// number takes in a number with its unit, or a time of day or a date, which is
// passed over.
func (sc *scanner) number() {
	start := sc.i
	if sc.s[sc.i] == '+' || sc.s[sc.i] == '-' {
		sc.i++
	}
	digits := sc.digitRun()
	if sc.i+1 < len(sc.s) && strings.IndexByte(":/-", sc.s[sc.i]) >= 0 && sc.digitAt(sc.i+1) {
		for sc.i < len(sc.s) && strings.IndexByte("0123456789:./,TZ+-", sc.s[sc.i]) >= 0 {
			sc.i++
		}
		return
	}
	end := sc.exponent()
	unit, glued := sc.unit()
	commas := strings.Count(digits, ",")
	if commas > 0 && !sc.comma && !sc.plainComma(digits, unit) {
		// A separator: the number ends before it, and the rest is read next.
		cut := strings.IndexByte(sc.s[start:], ',')
		end, sc.i, unit, glued = start+cut, start+cut, statedNone, false
		digits = digits[:strings.IndexByte(digits, ',')]
		sc.cur.cut = !strings.Contains(digits, ".")
		commas = 0
	}
	sc.cur.text = sc.s[start:end]
	v, err := strconv.ParseFloat(strings.Replace(sc.cur.text, ",", ".", 1), 64)
	torn := start > 0 && sc.s[start-1] == '.' // "112..4" is no 4
	sc.cur.bad = glued || torn || err != nil || commas > 1 || commas == 1 && strings.Contains(digits, ".")
	sc.cur.value, sc.cur.unit = v, unit
	sc.cur.whole = !strings.ContainsAny(sc.cur.text, ".,eE")
	sc.cur.ordinal = sc.isOrdinal()
	sc.emit()
}

// digitRun takes in digits with points and commas between them.
func (sc *scanner) digitRun() string {
	start := sc.i
	for sc.i < len(sc.s) {
		c := sc.s[sc.i]
		if !isDigit(rune(c)) && !((c == '.' || c == ',') && sc.digitAt(sc.i+1)) {
			break
		}
		sc.i++
	}
	if sc.i < len(sc.s) && sc.s[sc.i] == '.' && sc.i > start { // "112." is a number, and so is the end of a sentence
		sc.i++
		return sc.s[start : sc.i-1]
	}
	return sc.s[start:sc.i]
}

// exponent takes in an exponent and returns where the number ends.
func (sc *scanner) exponent() int {
	j := sc.i
	if j < len(sc.s) && (sc.s[j] == 'e' || sc.s[j] == 'E') && isDigit(rune(sc.s[j-1])) {
		j++
		if j < len(sc.s) && (sc.s[j] == '+' || sc.s[j] == '-') {
			j++
		}
		if sc.digitAt(j) {
			for sc.digitAt(j) {
				j++
			}
			sc.i = j
		}
	}
	return sc.i
}

// plainComma reports whether a number with one comma cannot be two numbers:
// one decimal before a unit, or any before a unit and behind a label.
func (sc *scanner) plainComma(digits string, unit stated) bool {
	if strings.Count(digits, ",") != 1 || strings.Contains(digits, ".") || unit != statedC && unit != statedF {
		return false
	}
	decimals := len(digits) - strings.IndexByte(digits, ',') - 1
	return decimals == 1 || sc.cur.named && sc.cur.assigned && decimals != 3
}

// isOrdinal reports whether the number in hand numbers a thing ("sensor 1",
// "1: …") and does not measure it.
func (sc *scanner) isOrdinal() bool {
	c := sc.cur
	if !c.whole || c.bad || c.unit != statedNone || c.assigned || c.value < 0 {
		return false
	}
	if sc.assignAt(sc.i) {
		return true
	}
	return len(sc.label) > 0 && wordsOrdinal[strings.ToLower(sc.label[len(sc.label)-1])]
}

func (sc *scanner) digitAt(i int) bool { return i < len(sc.s) && isDigit(rune(sc.s[i])) }

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func isWordByte(c byte) bool {
	return c == '_' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= 0x80
}
