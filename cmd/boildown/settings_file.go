package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
	"github.com/spf13/pflag"
)

const maxSettingsSize = 64 << 10

// settingsError is all that is wrong with one settings file.
type settingsError struct {
	Path     string
	Problems []problem
}

func (e *settingsError) Error() string {
	s := fmt.Sprintf("settings %s: %s", e.Path, e.Problems[0])
	if n := len(e.Problems) - 1; n > 0 {
		s += fmt.Sprintf(" (and %d more: boildown settings shows all)", n)
	}
	return s
}

// failed is the error with the first remedy beside it: exit status 2.
func (e *settingsError) failed() error {
	remedy := e.Problems[0].Remedy
	if remedy == "" {
		remedy = "mend that line, or leave the file out with --config " + noConfig
	}
	return &failure{err: e, hint: remedy, status: statusUsage}
}

// all prints every problem with its remedy and returns what is left to say.
func (e *settingsError) all(out io.Writer) error {
	for _, p := range e.Problems {
		fmt.Fprintf(out, "%s: %s\n    %s\n", oneLine(e.Path), oneLine(p.String()), oneLine(p.Remedy))
	}
	return usagef("each line above says what to write instead", "the settings cannot be used")
}

func lineWords(path string, line int) string {
	return fmt.Sprintf("%s line %d", filepath.Base(path), line)
}

// loadSettings reads the file that --config names, or the usual one, which
// need not be there; nor need the named one when the command begins it.
func loadSettings(named string, begins bool) (*settings, error) {
	path := named
	switch named {
	case "":
		path = defaultSettingsPath()
	case noConfig:
		return &settings{}, nil
	}
	text, err := readSettings(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && (named == "" || begins):
		return &settings{path: path}, nil
	case errors.Is(err, fs.ErrNotExist):
		return nil, usagef("boildown settings set KEY VALUE --config "+named+" begins one", "there is no settings file %q", named)
	case err != nil:
		return nil, err
	}
	s, bad := parseSettings(text, path)
	if bad != nil {
		return nil, bad.failed()
	}
	return s, nil
}

func readSettings(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", hinted(fmt.Errorf("cannot read the settings: %w", err), "go on without them by --config "+noConfig)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxSettingsSize+1))
	switch {
	case err != nil:
		return "", hinted(fmt.Errorf("cannot read the settings: %w", err), "name a settings file, not a folder")
	case len(b) > maxSettingsSize:
		return "", usagef("is this the right file?", "%q is larger than settings can be (64 KiB)", path)
	}
	return string(b), nil
}

// settingsReader checks a file key by key against the flags of cook.
type settingsReader struct {
	text     string
	flags    *pflag.FlagSet
	source   []string // the flags that can stand in a probe's table
	problems []problem
}

func newSettingsReader(text string) *settingsReader {
	r := &settingsReader{text: text, flags: cookCommand().Flags()}
	own := pflag.NewFlagSet("", pflag.ContinueOnError)
	new(sourceFlags).register(own)
	own.VisitAll(func(f *pflag.Flag) {
		if !slices.Contains([]string{"probe", "demo", "speed", "seed"}, f.Name) {
			r.source = append(r.source, f.Name)
		}
	})
	r.source = append(r.source, "lag", "water-boils")
	return r
}

// parseSettings reads the text of a file.
func parseSettings(text, path string) (*settings, *settingsError) {
	s := &settings{path: path, text: text, values: map[string]setting{}, probes: map[string]*namedProbe{}}
	r := newSettingsReader(text)
	if tree, ok := r.tree(); ok {
		r.read(s, tree)
	}
	if len(r.problems) == 0 {
		return s, nil
	}
	slices.SortStableFunc(r.problems, func(a, b problem) int { return a.Line - b.Line })
	return nil, &settingsError{Path: path, Problems: r.problems}
}

// tree decodes the TOML.
func (r *settingsReader) tree() (map[string]any, bool) {
	var tree map[string]any
	_, err := decodeTOML(r.text, &tree)
	var bad toml.ParseError
	switch {
	case errors.As(err, &bad):
		r.problems = append(r.problems, problem{Line: bad.Position.Line, Field: bad.LastKey, What: bad.Message, Remedy: settingsRemedy})
	case err != nil:
		r.problems = append(r.problems, problem{What: strings.TrimPrefix(err.Error(), "toml: "), Remedy: settingsRemedy})
	}
	return tree, err == nil
}

const settingsRemedy = `text stands in quotes, tables in brackets: altitude = "300m", [probe.kettle]`

func (r *settingsReader) wrong(key []string, remedy, format string, args ...any) {
	line := lineOf(r.text, append(slices.Clone(key), "")...) // of a table's header
	if line == 0 {
		line = lineOf(r.text, key...)
	}
	r.problems = append(r.problems, problem{Line: line, Field: strings.Join(key, "."), What: fmt.Sprintf(format, args...), Remedy: remedy})
}

func (r *settingsReader) read(s *settings, tree map[string]any) {
	for _, key := range slices.Sorted(maps.Keys(tree)) {
		tables, isTable := tree[key].(map[string]any)
		switch {
		case key == "probe" && isTable:
			for _, name := range slices.Sorted(maps.Keys(tables)) {
				r.probe(s, name, tables[name])
			}
		case key == "probe":
			r.wrong([]string{key}, probeKey+` = "kettle"`, "the probe to use stands under %s", probeKey)
		case slices.Contains(settable, flagOf(key)):
			if v, ok := r.value([]string{key}, flagOf(key), tree[key]); ok {
				s.values[flagOf(key)] = v
			}
		case slices.Contains(r.source, key):
			r.wrong([]string{key}, "put it into the table of the probe: [probe.kettle]", "this belongs to one probe")
		default:
			r.wrong([]string{key}, didYouMean(key, settingKeys()), "this key means nothing here")
		}
	}
	if v, ok := s.values["probe"]; ok && len(r.problems) == 0 {
		if err := s.misnamed(v.text); err != nil {
			r.problems = append(r.problems, problem{Line: v.line, Field: probeKey, What: err.Error(), Remedy: hintOf(err)})
		}
	}
}

// settingKeys are the keys outside the probes' tables.
func settingKeys() []string {
	keys := make([]string, len(settable))
	for i, name := range settable {
		keys[i] = keyOf(name)
	}
	return keys
}

// value reads one value by its flag's own parser.
func (r *settingsReader) value(key []string, flag string, is any) (setting, bool) {
	f := r.flags.Lookup(flag)
	if f == nil {
		r.wrong(key, "", "this key means nothing here")
		return setting{}, false
	}
	switch is.(type) {
	case string, bool, int64, float64:
	default:
		r.wrong(key, example(f), "a plain value is wanted here")
		return setting{}, false
	}
	v := setting{text: fmt.Sprint(is), line: max(lineOf(r.text, key...), 1)}
	if err := f.Value.Set(v.text); err != nil {
		r.wrong(key, example(f), "%s", plainFlagError(err))
		return setting{}, false
	}
	if why := flagBounds(flag, f.Value.String()); why != "" {
		r.wrong(key, example(f), "%s", why)
		return setting{}, false
	}
	return v, true
}

// plainFlagError takes the Go function's name out of a number that is none.
func plainFlagError(err error) string {
	return regexp.MustCompile(`^strconv\.\w+: parsing `).ReplaceAllString(err.Error(), "cannot read ")
}

func hintOf(err error) string {
	var f *failure
	if errors.As(err, &f) {
		return f.hint
	}
	return ""
}
