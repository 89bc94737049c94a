package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
)

// change is one key of a settings file that is to be written, or, with no
// literal, to be taken out.
type change struct {
	key     []string
	literal string // the value as TOML
}

// changeSettings makes the changes to the file at path in one step and begins
// the file where there is none. Comments and order stay as they are: only the
// lines of the keys are touched. A file laid out so that a line alone cannot be
// changed is refused and left as it was.
func changeSettings(path string, changes []change) error {
	text, err := readSettings(path)
	if errors.Is(err, fs.ErrNotExist) {
		text, err = newSettingsText, nil
	}
	if err != nil {
		return err
	}
	for _, c := range changes {
		if text, err = changed(text, c); err != nil {
			return err
		}
	}
	if _, bad := parseSettings(text, path); bad != nil {
		return bad.failed()
	}
	return writeSettings(path, text)
}

const newSettingsText = "# Settings of boildown. Each key is a flag of boildown cook; what is typed wins.\n# boildown settings shows what is in force.\n"

// changed makes one change and checks that it did that and nothing else.
func changed(text string, c change) (string, error) {
	want, err := decoded(text)
	if err != nil {
		var bad toml.ParseError
		if errors.As(err, &bad) {
			return "", usagef(settingsRemedy, "the settings cannot be changed before line %d is mended: %s", bad.Position.Line, bad.Message)
		}
		return "", err
	}
	edited := putLine(text, c)
	is, err := decoded(edited)
	name := strings.Join(c.key, ".")
	if c.literal == "" {
		if err == nil && !drop(want, c.key) {
			return text, nil
		}
	} else {
		value, err := decoded("value = " + c.literal)
		if err != nil {
			return "", usagef("", "%s cannot be written as %s", name, c.literal)
		}
		put(want, c.key, value["value"])
	}
	if err != nil || !reflect.DeepEqual(pruned(is), pruned(want)) {
		return "", usagef("write it by hand: "+name+" = "+c.literal, "%s stands in the settings in a way that a program had better not change", name)
	}
	return edited, nil
}

func decoded(text string) (tree map[string]any, err error) {
	_, err = decodeTOML(text, &tree)
	if tree == nil {
		tree = map[string]any{}
	}
	return tree, err
}

// put sets the value at key in a tree, and drop takes it out.
func put(tree map[string]any, key []string, value any) {
	for _, k := range key[:len(key)-1] {
		below, ok := tree[k].(map[string]any)
		if !ok {
			below = map[string]any{}
			tree[k] = below
		}
		tree = below
	}
	tree[key[len(key)-1]] = value
}

func drop(tree map[string]any, key []string) bool {
	for _, k := range key[:len(key)-1] {
		below, ok := tree[k].(map[string]any)
		if !ok {
			return false
		}
		tree = below
	}
	_, there := tree[key[len(key)-1]]
	delete(tree, key[len(key)-1])
	return there
}

// pruned leaves tables without keys out of a tree, which say nothing.
func pruned(tree map[string]any) map[string]any {
	for k, v := range tree {
		if below, ok := v.(map[string]any); ok && len(pruned(below)) == 0 {
			delete(tree, k)
		}
	}
	return tree
}

// putLine changes, adds or removes the line of one key.
func putLine(text string, c change) string {
	lines := strings.SplitAfter(text, "\n")
	table, name := c.key[:len(c.key)-1], c.key[len(c.key)-1]
	if n := keyLine(lines, table, name); n >= 0 {
		if c.literal == "" {
			return strings.Join(slices.Delete(lines, n, n+1), "")
		}
		lines[n] = withValue(lines[n], c.literal)
		return strings.Join(lines, "")
	}
	if c.literal == "" {
		return text
	}
	return addLine(lines, table, bareKey(name)+" = "+c.literal+"\n")
}

// header returns the table that a line begins, and whether it begins one.
func header(line string) (string, bool) {
	line = strings.TrimSpace(line)
	if !strings.HasPrefix(line, "[") {
		return "", false
	}
	line, _, _ = strings.Cut(line, "#")
	return strings.Trim(line, "[] \t"), true
}

// keyLine returns the index of the line on which a key of a table stands, -1
// when there is none.
func keyLine(lines []string, table []string, name string) int {
	in := ""
	for i, line := range lines {
		if h, ok := header(line); ok {
			in = h
			continue
		}
		left, _, found := strings.Cut(line, "=")
		if found && in == strings.Join(table, ".") && strings.Trim(strings.TrimSpace(left), `"'`) == name {
			return i
		}
	}
	return -1
}

// withValue replaces the value on a line; the key and a comment stay.
func withValue(line, literal string) string {
	left, right, _ := strings.Cut(strings.TrimRight(line, "\r\n"), "=")
	out := left + "= " + literal
	if at := commentIn(right); at >= 0 {
		out += " " + strings.TrimSpace(right[at:])
	}
	return out + "\n"
}

// commentIn returns where a comment begins behind a value, -1 for nowhere.
func commentIn(s string) int {
	quote := byte(0)
	for i := 0; i < len(s); i++ {
		switch {
		case quote == '"' && s[i] == '\\':
			i++
		case quote != 0:
			if s[i] == quote {
				quote = 0
			}
		case s[i] == '"' || s[i] == '\'':
			quote = s[i]
		case s[i] == '#':
			return i
		}
	}
	return -1
}

// addLine puts a line behind the last value of its table, which is begun at the
// end of the file where there is none. A comment at the end of a table is left
// behind the new line: it mostly belongs to the table below it.
func addLine(lines []string, table []string, line string) string {
	in, after, found := "", -1, len(table) == 0
	want := strings.Join(table, ".")
	for i, l := range lines {
		h, isHeader := header(l)
		if isHeader {
			in = h
			found = found || h == want
		}
		if in == want && (isHeader || !blank(l)) {
			after = i
		}
	}
	if !found {
		return ended(strings.Join(lines, "")) + "\n[" + want + "]\n" + line
	}
	if after < 0 { // behind what the file says of itself
		for after+1 < len(lines) && strings.HasPrefix(lines[after+1], "#") {
			after++
		}
	}
	return ended(strings.Join(lines[:after+1], "")) + line + strings.Join(lines[after+1:], "")
}

// blank reports whether a line holds no value.
func blank(line string) bool {
	line = strings.TrimSpace(line)
	return line == "" || strings.HasPrefix(line, "#")
}

// ended is text with a line end at its end.
func ended(text string) string {
	if text == "" || strings.HasSuffix(text, "\n") {
		return text
	}
	return text + "\n"
}

func bareKey(name string) string {
	if strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789-_") == "" {
		return name
	}
	return quoted(name)
}

// writeSettings replaces the file in one step, readable by its owner alone. A
// link to the file stays one.
func writeSettings(path, text string) error {
	fail := func(err error) error {
		return hinted(fmt.Errorf("cannot keep the settings: %w", err), "--config names another file")
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fail(err)
	}
	f, err := os.CreateTemp(dir, ".settings-*") // made with mode 0600
	if err != nil {
		return fail(err)
	}
	_, err = f.WriteString(text)
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		_ = os.Remove(f.Name())
		return fail(err)
	}
	return nil
}
