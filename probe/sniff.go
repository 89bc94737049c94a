package probe

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Guess is what [Sniff] makes of some lines.
type Guess struct {
	Format  Format
	Sure    bool     // the text itself says it all: which number, and in which unit
	Lines   int      // lines looked at
	Read    int      // lines of them that yield a temperature under Format
	Why     string   // what was seen, in a cook's words
	Example string   // the last line that yields one, made printable
	C       Celsius  // what it yields
	Others  []Format // what else could be meant, likeliest first
}

// trial is one format tried on the lines.
type trial struct {
	f      Format
	name   string // the words that the line gives the number
	named  bool   // they name a temperature
	read   int
	faults int // sensor faults, which also show that the place is right
	temps  []Celsius
	last   string
	stated bool // the text states the unit
}

// Bounds on the work of [Sniff]: any cable may send anything.
const (
	sniffLines   = 60
	sniffFormats = 60
)

// Sniff looks at lines as they came and says which format fits them. OK is
// false when nothing in them looks like a temperature; Why then says what was
// seen instead. Of many lines it looks at the last 60.
func Sniff(lines []string) (g Guess, ok bool) {
	texts, strange := cleanAll(lines[max(0, len(lines)-sniffLines):])
	g.Lines = len(texts) + strange
	switch {
	case g.Lines == 0:
		g.Why = "no whole line has come"
		return g, false
	case 3*strange > g.Lines:
		g.Why = "what comes is no text: the speed is probably wrong"
		return g, false
	}
	tried := tryAll(texts)
	if len(tried) == 0 {
		g.Why = nothingSeen(texts)
		return g, false
	}
	best := tried[0]
	g.Format, g.Read, g.Example = best.f, best.read, Printable(best.last)
	if n := len(best.temps); n > 0 {
		g.C = best.temps[n-1]
	}
	for _, t := range tried[1:] {
		g.Others = append(g.Others, t.f)
	}
	g.Sure = best.f == Format{} && best.stated
	g.Why = best.why(tried, len(texts))
	return g, true
}

func cleanAll(lines []string) (texts []string, strange int) {
	for _, l := range lines {
		text, ok := clean(l)
		switch {
		case !ok:
			strange++
		case text != "":
			texts = append(texts, text)
		}
	}
	return texts, strange
}

func nothingSeen(texts []string) string {
	for _, l := range texts {
		if strings.ContainsAny(l, "0123456789") {
			return fmt.Sprintf("there are numbers, but none that could be a pot's temperature, as in %q", Printable(l))
		}
	}
	return fmt.Sprintf("there is text, but no number in it, as in %q", Printable(texts[len(texts)-1]))
}

// tryAll tries every format that could fit and returns those that do, best
// first.
func tryAll(texts []string) []trial {
	var fit []trial
	if t, ok := tryAuto(texts); ok {
		fit = append(fit, t)
	}
	var others []trial
	for _, f := range candidates(texts) {
		if t := try(f, texts); t.fits(len(texts)) && !slices.ContainsFunc(fit, t.same) {
			others = append(others, t)
		}
	}
	slices.SortStableFunc(others, func(a, b trial) int { return b.score() - a.score() })
	return append(fit, others...)
}

// tryAuto tries the format that chooses nothing. Lines from two sensors in
// turn each look plain, but must not be read as one pot.
func tryAuto(texts []string) (trial, bool) {
	f := Format{}
	t := try(f, texts)
	if t.read == 0 && t.faults == 0 {
		return t, false
	}
	labels := map[string]bool{}
	for _, l := range texts {
		if _, fault := f.Parse(l); fault != FaultNone {
			continue
		}
		for _, it := range scan(l, false).items {
			if _, clash := it.statedUnit(); it.plain() && !clash {
				labels[strings.ToLower(it.label)] = true
				break
			}
		}
	}
	if len(labels) > 1 {
		return t, false
	}
	return t, true
}

// candidates returns the formats that the lines suggest, in the order in which
// their places come.
func candidates(texts []string) []Format {
	var all []Format
	add := func(f Format) {
		if len(all) < sniffFormats && !slices.Contains(all, f) {
			all = append(all, f)
		}
	}
	for _, l := range texts {
		if l[0] == '{' || l[0] == '[' {
			if leafs, ok := leaves(l); ok {
				for _, lf := range leafs {
					add(Format{Key: strings.Join(lf.path, ".")})
				}
				continue
			}
		}
		sc := scan(l, false)
		for _, it := range sc.items {
			if it.label != "" && !it.ordinal {
				add(Format{Key: it.label})
				add(Format{Key: it.label, Comma: it.cut})
			}
		}
		sep := separator(l)
		n := len(Format{Sep: sep}.fields(l))
		for i := 1; n > 1 && i <= min(n, 32); i++ {
			add(Format{Field: i, Sep: sep})
		}
		if len(sc.words) == 0 && n == 2 && sep == "," {
			add(Format{Comma: true})
		}
	}
	return all
}

// try reads the lines with a format.
func try(f Format, texts []string) trial {
	t := trial{f: f, name: f.Key}
	for _, l := range texts {
		c, fault := f.Parse(l)
		switch fault {
		case FaultNone:
			t.read++
			t.temps = append(t.temps, c)
			t.last = l
			in := f
			in.Unit = UnitF
			if other, _ := in.Parse(l); other == c {
				t.stated = true
			}
		case FaultOpen, FaultShort, FaultOverRange, FaultReported:
			t.faults++
		}
	}
	if f.Field > 0 {
		t.name = headerOf(f, texts)
	}
	for _, w := range keyWords(t.name) {
		t.named = t.named || kindOf(w) == wordTemperature || wordsPot[strings.ToLower(w)]
	}
	return t
}

// headerOf returns the title that a line without numbers gives the field.
func headerOf(f Format, texts []string) string {
	for _, l := range texts {
		if strings.ContainsAny(l, "0123456789") && !strings.ContainsAny(l, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") {
			continue
		}
		if all := f.fields(l); f.Field <= len(all) {
			title := strings.Trim(all[f.Field-1], " \t\"'#")
			if _, fault := (Format{}).cell(title, true); fault == FaultEmpty && title != "" {
				return title
			}
		}
	}
	return ""
}

// fits reports whether a chosen place holds a temperature often enough: most
// lines for a field, some for a label, since boards print blocks of lines.
func (t trial) fits(lines int) bool {
	if t.read == 0 || t.counts() {
		return false
	}
	if t.f.Key != "" {
		return true
	}
	return 2*(t.read+t.faults) > lines
}

// counts reports whether the numbers are a counter or a clock: whole steps,
// always up.
func (t trial) counts() bool {
	if len(t.temps) < 3 {
		return false
	}
	step := t.temps[1] - t.temps[0]
	for i, c := range t.temps[1:] {
		if c-t.temps[i] != step || step == 0 || float64(c) != math.Trunc(float64(c)) {
			return false
		}
	}
	return true
}

func (t trial) same(o trial) bool {
	return t.read <= o.read && slices.Equal(t.temps, o.temps)
}

// score says how much a chosen place looks like the pot. A named temperature
// beats everything; between two the hotter one is the likelier pot.
func (t trial) score() int {
	s := 0
	if t.named {
		s += 4000
	}
	if t.stated {
		s += 2000
	}
	if t.f.Comma {
		s += 1500 // whole numbers alone are rarer than decimal commas
	}
	hot := t.temps[len(t.temps)-1]
	if hot > 0 && hot < 220 {
		s += 1000
	}
	return s + int(hot)
}

// why says what was seen and chosen.
func (t trial) why(tried []trial, lines int) string {
	var b strings.Builder
	switch {
	case t.f == Format{} && t.read == 0:
		return "the probe prints a fault where the temperature should be"
	case t.f == Format{} && t.read == lines:
		b.WriteString("each line plainly holds one temperature")
	case t.f == Format{}:
		fmt.Fprintf(&b, "%d of %d lines plainly hold one temperature", t.read, lines)
	case t.f == Format{Comma: true}:
		b.WriteString("each line is one number with a decimal comma, or two numbers; taken for one")
	case t.f.Key != "":
		fmt.Fprintf(&b, "the lines hold several numbers; the one at %q %s", Printable(t.f.Key), t.reason(tried))
	default:
		fmt.Fprintf(&b, "the lines have several fields; %s", ordinal(t.f.Field))
		if t.name != "" {
			fmt.Fprintf(&b, ", %q,", Printable(t.name))
		}
		fmt.Fprintf(&b, " %s", t.reason(tried))
	}
	if !t.stated {
		b.WriteString("; no unit is printed, so °C is assumed")
		if c := t.temps[len(t.temps)-1]; c > 55 && c < 95 {
			fmt.Fprintf(&b, " (if the probe is in a kitchen at %.0f °F, the unit is °F)", float64(c))
		}
	}
	return b.String()
}

func (t trial) reason(tried []trial) string {
	switch {
	case t.named && len(tried) > 1 && tried[1].named:
		return "is the hottest of those that are temperatures by name, as the pot would be"
	case t.named:
		return "is a temperature by its name"
	case len(tried) > 1:
		return "looks most like a pot"
	}
	return "is the only one that could be a temperature"
}
