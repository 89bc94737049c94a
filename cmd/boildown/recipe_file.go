package main

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"
)

// recipeFile is a recipe as it is written: quantities are text with a unit,
// as in "400 g".
type recipeFile struct {
	Name     string      `toml:"name"`
	About    string      `toml:"about"`
	Target   string      `toml:"target"`
	TargetIs string      `toml:"target_is"`
	Sweet    string      `toml:"sweet"`
	Texture  string      `toml:"texture"`
	Yield    int         `toml:"yield"`
	YieldOf  string      `toml:"yield_of"`
	Notes    string      `toml:"notes"`
	Dip      dipTable    `toml:"dip"`
	Pot      potTable    `toml:"pot"`
	Melt     []partTable `toml:"melt"`
	Cream    []partTable `toml:"cream"`
	After    []partTable `toml:"after"`
}

type dipTable struct {
	Open  string `toml:"open"`
	Close string `toml:"close"`
	Depth string `toml:"depth"`
}

type potTable struct {
	Holds    string `toml:"holds"`
	Material string `toml:"material"`
	Weighs   string `toml:"weighs"`
	Across   string `toml:"across"`
	NonStick bool   `toml:"non_stick"`
}

type partTable struct {
	Food   string       `toml:"food"`
	Amount string       `toml:"amount"`
	Fat    *float64     `toml:"fat"`
	Warm   string       `toml:"warm"`
	MadeOf *madeOfTable `toml:"made_of"`
}

// madeOfTable is what 100 g of a food are made of, for one that is not known.
type madeOfTable struct {
	Water        float64 `toml:"water"`
	Fat          float64 `toml:"fat"`
	Protein      float64 `toml:"protein"`
	Carbohydrate float64 `toml:"carbohydrate"`
	Ash          float64 `toml:"ash"`
	GPerML       float64 `toml:"grams_per_ml"`
}

// decodeRecipe reads the text of a file; problems are what TOML itself finds
// wrong with it, and the keys that mean nothing.
func decodeRecipe(text string) (f recipeFile, problems []problem) {
	md, err := decodeTOML(text, &f)
	var bad toml.ParseError
	switch {
	case errors.As(err, &bad):
		return f, []problem{{Line: bad.Position.Line, Field: bad.LastKey, What: bad.Message, Remedy: tomlRemedy}}
	case err != nil:
		return f, []problem{mismatch(err.Error())}
	}
	seen := map[string]bool{}
	for _, key := range md.Undecoded() {
		path := key.String()
		if above := strings.Join(key[:len(key)-1], "."); seen[path] || seen[above] {
			seen[path] = true
			continue // the table above it was told already
		}
		seen[path] = true
		problems = append(problems, problem{
			Line: lineOf(text, key...), Field: path, What: "this key means nothing here",
			Remedy: didYouMean(key[len(key)-1], keysOf(reflect.TypeFor[recipeFile](), key[:len(key)-1])),
		})
	}
	return f, problems
}

// misfit is how the decoder words a value of the wrong type; its error carries
// the place in the text alone.
var misfit = regexp.MustCompile(`^toml: line (\d+) \(last key "([^"]*)"\): incompatible types: TOML value has type (\w+).*; destination has type (\w+)`)

// mismatch words a value of the wrong type for someone who writes recipes.
func mismatch(message string) problem {
	m := misfit.FindStringSubmatch(message)
	if m == nil {
		return problem{What: strings.TrimPrefix(message, "toml: "), Remedy: tomlRemedy}
	}
	line, _ := strconv.Atoi(m[1])
	p := problem{Line: line, Field: m[2], What: fmt.Sprintf("%s stands where %s is wanted", typeWord(m[3]), typeWord(m[4]))}
	switch m[4] {
	case "string":
		p.Remedy = `put the value in quotes, with its unit: "400 g", "235 °F"`
	case "slice":
		p.Remedy = "put the table's name in double brackets: [[melt]]"
	case "integer", "float":
		p.Remedy = "write the number without quotes: yield = 24"
	case "boolean":
		p.Remedy = "write true or false without quotes"
	default:
		p.Remedy = tomlRemedy
	}
	return p
}

func typeWord(t string) string {
	switch t {
	case "string":
		return "text"
	case "int64", "integer", "float64", "float":
		return "a number"
	case "bool", "boolean":
		return "true or false"
	case "slice", "array":
		return "a list of tables"
	case "map", "table":
		return "a table"
	}
	return "a value of another kind"
}

const tomlRemedy = `text stands in quotes, tables in brackets: name = "Stall dip", [[melt]]`

// keysOf lists the keys of the table at path in t.
func keysOf(t reflect.Type, path []string) (keys []string) {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	for i := range t.NumField() {
		field := t.Field(i)
		key := field.Tag.Get("toml")
		if len(path) > 0 && path[0] == key {
			return keysOf(field.Type, path[1:])
		}
		keys = append(keys, key)
	}
	if len(path) > 0 {
		return nil
	}
	return keys
}

// lineOf returns the line on which the key stands, 0 when it is not found: by
// a table's header and the key's name. A table that occurs more than once can
// be told by its number behind the name, as in "melt", "#2", "amount".
func lineOf(text string, key ...string) int {
	var table []string
	nth := 1
	for _, k := range key[:len(key)-1] {
		if _, err := fmt.Sscanf(k, "#%d", &nth); err != nil {
			table = append(table, k)
		}
	}
	want, name := strings.Join(table, "."), key[len(key)-1]
	in, count, header := "", map[string]int{}, 0
	for i, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "[") {
			in = strings.Trim(strings.SplitN(line, "#", 2)[0], "[] \t")
			count[in]++
			if in == want && count[in] == nth {
				header = i + 1
			}
			if in == name && want == "" {
				return i + 1
			}
			continue
		}
		left, _, found := strings.Cut(line, "=")
		if found && in == want && (want == "" || nth == count[in] || !numbered(key)) && strings.Trim(strings.TrimSpace(left), `"'`) == name {
			return i + 1
		}
	}
	return header
}

func numbered(key []string) bool {
	for _, k := range key {
		if strings.HasPrefix(k, "#") {
			return true
		}
	}
	return false
}
