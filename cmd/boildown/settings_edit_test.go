package main

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestPutLine(t *testing.T) {
	key := func(s string) []string { return strings.Split(s, ".") }
	for _, row := range []struct {
		name, before string
		change       change
		after        string
	}{
		{"into nothing", "", change{key("near"), `"8F"`}, "near = \"8F\"\n"},
		{"keeps the comment", "# mine\nnear = \"5F\"  # fast hob\nrate = 2\n", change{key("near"), `"8F"`}, "# mine\nnear = \"8F\" # fast hob\nrate = 2\n"},
		{"a # in quotes", "alert = \"say #1\" # loud\n", change{key("alert"), `"bell"`}, "alert = \"bell\" # loud\n"},
		{"before the tables", "# mine\n\n# the pot's\n[probe.k]\naddress = \"x\"\n", change{key("near"), `"8F"`}, "# mine\nnear = \"8F\"\n\n# the pot's\n[probe.k]\naddress = \"x\"\n"},
		{"behind the last value", "rate = 2\n\n# the pot's\n[probe.k]\naddress = \"x\"\n", change{key("near"), `"8F"`}, "rate = 2\nnear = \"8F\"\n\n# the pot's\n[probe.k]\naddress = \"x\"\n"},
		{"into a table", "[probe.k]\naddress = \"x\"\n\n[probe.l]\naddress = \"y\"\n", change{key("probe.k.lag"), `"4s"`}, "[probe.k]\naddress = \"x\"\nlag = \"4s\"\n\n[probe.l]\naddress = \"y\"\n"},
		{"a new table", "near = \"8F\"", change{key("probe.k.address"), `"x"`}, "near = \"8F\"\n\n[probe.k]\naddress = \"x\"\n"},
		{"the same key elsewhere", "lag = \"3s\"\n[probe.k]\naddress = \"x\"\nlag = \"4s\"\n", change{key("probe.k.lag"), `"5s"`}, "lag = \"3s\"\n[probe.k]\naddress = \"x\"\nlag = \"5s\"\n"},
		{"out", "near = \"8F\" # gone\nrate = 2\n", change{key("near"), ""}, "rate = 2\n"},
		{"out of nothing", "rate = 2\n", change{key("near"), ""}, "rate = 2\n"},
		{"quoted key", "\"near\" = \"5F\"\n", change{key("near"), `"8F"`}, "\"near\" = \"8F\"\n"},
		{"DOS line ends", "near = \"5F\"\r\nrate = 2\r\n", change{key("near"), `"8F"`}, "near = \"8F\"\nrate = 2\r\n"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := changed(row.before, row.change)
			if err != nil || got != row.after {
				t.Errorf("got %q, %v\nwant %q", got, err, row.after)
			}
		})
	}
}

// What a line alone cannot change is refused, and the file left as it was.
func TestChanged_refuses(t *testing.T) {
	for name, row := range map[string]struct {
		before string
		key    []string
	}{
		"dotted":       {"probe.k.lag = \"4s\"\nprobe.k.address = \"x\"\n", []string{"probe", "k", "lag"}},
		"inline table": {"[probe]\nk = { address = \"x\", lag = \"4s\" }\n", []string{"probe", "k", "lag"}},
		"many lines":   {"alert = '''\nnear = \"5F\"\n'''\n", []string{"near"}},
		"broken":       {"near = \n", []string{"near"}},
	} {
		if got, err := changed(row.before, change{row.key, `"8s"`}); err == nil {
			t.Errorf("%s: became %q", name, got)
		}
	}
}

func TestChangeSettings(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "not", "yet")
	path := filepath.Join(dir, "settings.toml")
	if err := changeSettings(path, []change{{[]string{"near"}, `"8F"`}}); err != nil {
		t.Fatal(err)
	}
	if s, err := loadSettings(path, false); err != nil || s.values["near"].text != "8F" {
		t.Errorf("%+v, %v", s, err)
	}
	if info, err := os.Stat(path); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	before, _ := os.ReadFile(path)
	if err := changeSettings(path, []change{{[]string{"rate"}, "2"}, {[]string{"theme"}, `"pink"`}}); err == nil {
		t.Error("a theme that there is not was taken")
	}
	if after, _ := os.ReadFile(path); string(after) != string(before) {
		t.Errorf("a refused change left %q", after)
	}
	link := filepath.Join(dir, "link.toml")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no links here: ", err)
	}
	if err := changeSettings(link, []change{{[]string{"rate"}, "2"}}); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Error("a link to the settings was replaced by a file")
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".settings-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestQuoted(t *testing.T) {
	for _, s := range []string{"", `paplay "bell.oga"`, `C:\bell`, "tab\there", "°F", "\x7f", "two\nlines"} {
		tree, err := decoded("v = " + quoted(s))
		if err != nil || tree["v"] != s {
			t.Errorf("%q comes back as %q (%v)", s, tree["v"], err)
		}
	}
}

// Whatever the file says, a change does what it should and nothing else, or is
// refused; and no text makes the reader panic.
func FuzzChanged(f *testing.F) {
	f.Add(goodSettings, "near", "8F")
	f.Add("near = [\n'x' # y\n]\n", "probe.k.lag", "4s")
	f.Add("[[probe]]\n", "probe.k.address", "#\"")
	f.Add("# only\n# words", "alert", "a\\b")
	f.Fuzz(func(t *testing.T, text, key, value string) {
		_, _ = parseSettings(text, "x")
		c, err := settingChange(key, value)
		if err != nil {
			return
		}
		after, err := changed(text, c)
		if err != nil || c.literal == "" {
			return
		}
		tree, err := decoded(after)
		if err != nil {
			t.Fatalf("%q was broken into %q", text, after)
		}
		for _, k := range c.key[:len(c.key)-1] {
			tree, _ = tree[k].(map[string]any)
		}
		if _, ok := tree[c.key[len(c.key)-1]]; !ok {
			t.Fatalf("%q has no %s after %+v", after, key, c)
		}
	})
}
