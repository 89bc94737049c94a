package probe

import (
	"math"
	"slices"
	"strings"
)

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
