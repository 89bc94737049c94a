package probe

import (
	"fmt"
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
