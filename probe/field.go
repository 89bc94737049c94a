package probe

import "strings"

// fields cuts a line where its separators are.
func (f Format) fields(line string) []string {
	sep := f.Sep
	if sep == "" {
		sep = separator(line)
	}
	if strings.TrimSpace(sep) == "" && sep != "\t" {
		return strings.Fields(line)
	}
	return strings.Split(line, sep)
}

// separator returns what separates the fields of line, " " for spaces.
func separator(line string) string {
	for _, sep := range []string{";", "\t", "|"} {
		if strings.Contains(line, sep) {
			return sep
		}
	}
	if strings.Contains(line, ",") && !commasAreDecimal(line) {
		return ","
	}
	return " "
}

// commasAreDecimal reports whether a line reads like "112,4 23,5": several
// words apart by spaces, each with one comma between digits at most.
func commasAreDecimal(line string) bool {
	words := strings.Fields(line)
	if len(words) < 2 {
		return false
	}
	for _, w := range words {
		at := strings.IndexByte(w, ',')
		if at < 0 {
			continue
		}
		if at == 0 || at == len(w)-1 || strings.Count(w, ",") > 1 || !isDigit(rune(w[at-1])) || !isDigit(rune(w[at+1])) {
			return false
		}
	}
	return true
}

// field reads the chosen field.
func (f Format) field(line string) (Celsius, Fault) {
	all := f.fields(line)
	if f.Field > len(all) {
		return 0, FaultEmpty
	}
	comma := f.Comma || separatorFor(f, line) != ","
	return f.cell(strings.Trim(all[f.Field-1], " \t\"'"), comma)
}

func separatorFor(f Format, line string) string {
	if f.Sep != "" {
		return f.Sep
	}
	return separator(line)
}

// cell reads a text that should hold the temperature and nothing else.
func (f Format) cell(text string, comma bool) (Celsius, Fault) {
	if text == "" {
		return 0, FaultEmpty
	}
	sc := scan(text, comma)
	if fault := sc.told(); fault != FaultNone {
		return 0, fault
	}
	var only *item
	for i := range sc.items {
		if it := &sc.items[i]; !it.ordinal {
			if only != nil {
				return 0, FaultGarbled
			}
			only = it
		}
	}
	switch {
	case only == nil && strings.ContainsAny(text, "0123456789") && kindOf(text) == wordUnknown:
		return 0, FaultGarbled
	case only == nil:
		return 0, FaultEmpty
	case len(sc.loose) > 0 || sc.odd:
		return 0, FaultGarbled
	}
	return f.read(*only)
}

// labelled reads the number behind the chosen label.
func (f Format) labelled(line string) (Celsius, Fault) {
	sc := scan(line, f.Comma)
	key := strings.Join(strings.Fields(f.Key), " ")
	var found *item
	for i := range sc.items {
		it := &sc.items[i]
		if !strings.EqualFold(it.label, key) && !strings.EqualFold(it.tail, key) {
			continue
		}
		if found != nil {
			return 0, FaultGarbled
		}
		found = it
	}
	if found == nil {
		return 0, FaultEmpty
	}
	return f.read(*found)
}
