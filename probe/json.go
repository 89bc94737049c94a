package probe

import (
	"encoding/json"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// bareWord finds the NaN and the infinity that boards print into their JSON
// though RFC 8259 has no such number.
var bareWord = regexp.MustCompile(`(?i)([:\[,]\s*)(-?(?:nan|inf|infinity))\b`)

// leaf is one value of a JSON text, by its path: keys and array indexes.
type leaf struct {
	path  []string
	value any
	unit  stated // by a "unit" key beside it
}

// leaves decodes a line that is a JSON object or array. OK is false when it is
// none.
func leaves(line string) (all []leaf, ok bool) {
	v, ok := decode(line)
	if !ok {
		v, ok = decode(bareWord.ReplaceAllString(line, `$1"$2"`))
	}
	if !ok {
		return nil, false
	}
	walk(v, nil, statedNone, &all)
	return all, true
}

func decode(line string) (v any, ok bool) {
	d := json.NewDecoder(strings.NewReader(line))
	d.UseNumber()
	if d.Decode(&v) != nil || d.More() {
		return nil, false
	}
	return v, true
}

func walk(v any, path []string, unit stated, all *[]leaf) {
	switch v := v.(type) {
	case map[string]any:
		if u := unitBeside(v); u != statedNone {
			unit = u
		}
		keys := make([]string, 0, len(v))
		for k := range v {
			keys = append(keys, k)
		}
		slices.Sort(keys)
		for _, k := range keys {
			walk(v[k], append(slices.Clone(path), k), unit, all)
		}
	case []any:
		for i, e := range v {
			walk(e, append(slices.Clone(path), strconv.Itoa(i)), unit, all)
		}
	default:
		*all = append(*all, leaf{path, v, unit})
	}
}

// unitBeside returns the unit that a key of the same object states.
func unitBeside(m map[string]any) stated {
	for _, k := range []string{"unit", "units", "uom", "scale"} {
		s, _ := m[k].(string)
		switch strings.ToLower(strings.TrimLeft(s, "°* ")) {
		case "c", "celsius", "degc":
			return statedC
		case "f", "fahrenheit", "degf":
			return statedF
		case "k", "kelvin", "degk":
			return statedOther
		}
	}
	return statedNone
}

// object reads the values of a JSON line.
func (f Format) object(all []leaf) (Celsius, Fault) {
	switch {
	case f.Key != "":
		return f.keyed(all)
	case f.Field > 0:
		if f.Field > len(all) {
			return 0, FaultEmpty
		}
		return f.leafValue(all[f.Field-1])
	}
	if len(all) == 1 && len(all[0].path) < 2 && all[0].bare() {
		return f.leafValue(all[0]) // "[112.4]"
	}
	var found []leaf
	for _, l := range all {
		if l.plain() {
			found = append(found, l)
		}
	}
	switch len(found) {
	case 1:
		return f.leafValue(found[0])
	case 2:
		a, okA := found[0].item()
		b, okB := found[1].item()
		if okA && okB {
			return f.twice(a, b)
		}
	}
	return 0, FaultEmpty
}

// keyed reads the value at the chosen key: its whole path with dots between,
// or the last part of it where only one value has that.
func (f Format) keyed(all []leaf) (Celsius, Fault) {
	same := []func(l leaf) bool{
		func(l leaf) bool { return strings.Join(l.path, ".") == f.Key },
		func(l leaf) bool { return strings.EqualFold(strings.Join(l.path, "."), f.Key) },
		func(l leaf) bool { return len(l.path) > 0 && strings.EqualFold(l.path[len(l.path)-1], f.Key) },
	}
	for _, is := range same {
		var found []leaf
		for _, l := range all {
			if is(l) {
				found = append(found, l)
			}
		}
		switch len(found) {
		case 0:
			continue
		case 1:
			return f.leafValue(found[0])
		}
		return 0, FaultGarbled
	}
	return 0, FaultEmpty
}

// bare reports whether a leaf is a number without a key.
func (l leaf) bare() bool {
	_, ok := l.value.(json.Number)
	return ok && (len(l.path) == 0 || l.path[0] == "0")
}

// plain reports whether a leaf is a temperature by what its keys say.
func (l leaf) plain() bool {
	if _, ok := l.value.(bool); ok {
		return false
	}
	named := false
	for _, k := range l.path {
		for _, w := range keyWords(k) {
			switch {
			case kindOf(w) == wordTemperature:
				named = true
			case kindOf(w) == wordUnknown && !wordsWrapping[strings.ToLower(w)] && strings.Trim(w, "0123456789") != "":
				return false
			}
		}
	}
	return named
}

// wordsWrapping are the keys of objects that boards wrap their values in.
var wordsWrapping = set(`data payload values readings measurements sensors probes channels result results state status msg message params`)

// item returns the leaf's number as if a line had held it.
func (l leaf) item() (item, bool) {
	n, ok := l.value.(json.Number)
	if !ok {
		return item{}, false
	}
	v, err := n.Float64()
	if err != nil {
		return item{}, false
	}
	return item{value: v, unit: l.stated(), whole: !strings.ContainsAny(n.String(), ".eE")}, true
}

// stated returns the unit in the leaf's own key, or else the one beside it.
func (l leaf) stated() stated {
	if len(l.path) > 0 {
		if u, _ := (item{words: keyWords(l.path[len(l.path)-1])}).statedUnit(); u != statedNone {
			return u
		}
	}
	return l.unit
}

func (f Format) leafValue(l leaf) (Celsius, Fault) {
	switch v := l.value.(type) {
	case nil:
		return 0, FaultReported
	case string:
		if l.stated() == statedF {
			f.Unit = UnitF
		} else if l.stated() == statedC {
			f.Unit = UnitC
		}
		text, ok := clean(v)
		if !ok {
			return 0, FaultGarbled
		}
		return f.cell(text, true)
	}
	it, ok := l.item()
	if !ok {
		return 0, FaultGarbled
	}
	return f.read(it)
}
