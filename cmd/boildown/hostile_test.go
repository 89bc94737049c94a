package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"boildown/probe"
	"boildown/probe/port"
	"boildown/sessions"
)

// nasty is what a probe, a file or a broker might say to drive a terminal or a
// browser: a title change, a cleared screen, C1 controls both as bytes and as
// runes, a line break, writing turned round, a NUL, broken UTF-8, a script.
const nasty = "evil\x1b]0;owned\x07\x1b[2J\x9b31m\u009b31m\u202eedisni\u2066\r\x00\x7f\xff<script>alert(1)</script>\"'$(touch owned)"

// nastyJSON is nasty inside a JSON string: escapes, and raw bytes where JSON
// allows them.
func nastyJSON() string {
	b, err := json.Marshal(nasty)
	if err != nil {
		panic(err)
	}
	return strings.ReplaceAll(string(b), `\ufffd`, "\xff")
}

// sealedLine ends a JSON object, given without its last brace, with its
// checksum, as the session format wants it.
func sealedLine(object string) string {
	sum := crc32.Checksum([]byte(object), crc32.MakeTable(crc32.Castagnoli))
	return fmt.Sprintf("%s,\"crc\":\"%08x\"}\n", object, sum)
}

// nastySession is a session file in which every text is nasty.
func nastySession() string {
	n := nastyJSON()
	var b strings.Builder
	b.WriteString(sealedLine(`{"k":"head","format":"boildown session","v":1,"start":"2026-01-02T03:04:05Z","zone":` + n +
		`,"recipe":` + n + `,"recipe_text":` + n + `,"probe":` + n + `,"fold":` + n + `,"program":` + n +
		`,"pressure_from":` + n + `,"target_from":` + n + `,"unit":"F","config":{"target_c":112.8,"pressure_pa":101325}`))
	for i := range 400 {
		b.WriteString(sealedLine(fmt.Sprintf(`{"k":"reading","t":%d.000,"c":%.2f`, i*3, min(100+float64(i)/20, 118))))
		if i == 60 {
			for _, text := range []string{
				`"k":"mark","t":180.000,"mark":"note","text":`, `"k":"mark","t":180.000,"mark":"added","text":`,
				`"k":"prompt","t":180.000,"prompt":"pull","text":`, `"k":"source","t":180.000,"link":"lost","text":`,
				`"k":"lost","t":180.000,"count":3,"text":`, `"k":"reading","t":180.000,"c":104,"fault":`,
				`"k":"mark","t":180.000,"mark":`, `"k":`, `"k":"source","t":180.000,"link":`,
			} {
				b.WriteString(sealedLine("{" + text + n))
			}
		}
	}
	b.WriteString(sealedLine(`{"k":"amend","when":"2026-01-03T00:00:00Z","title":` + n + `,"note":` + n + `,"tags":[` + n + `],"outcome":{"texture":4,"coat":` + n + `,"colour":` + n + `,"taste":` + n + `,"text":` + n + `}`))
	b.WriteString(nasty + "\n")
	return b.String()
}

const nastyRecipe = "name = \"evil\\u001b[2J\\u202e<script>alert(1)</script>\"\n[[melt]]\nwhat = \"\\u001b]0;owned\\u0007\"\ngrams = 200\n"

// raw returns the first thing in s that could act on a terminal, "" for none.
func raw(s string) string {
	for i, r := range s {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(s[i:]); size == 1 {
				return fmt.Sprintf("byte %#x in %q", s[i], s[max(i-30, 0):min(i+30, len(s))])
			}
		}
		if r != '\n' && r != '\t' && sessions.Unsafe(r) {
			return fmt.Sprintf("%U in %q", r, s[max(i-30, 0):min(i+30, len(s))])
		}
	}
	return ""
}

// What a probe, a file or a name says reaches no output raw, whatever the
// command, and no path that it says is followed.
func TestHostileInputReachesNoOutput(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "shelf")
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Skipf("this system takes no such file name: %v", err)
		}
		return path
	}
	batch := write("2026-01-02T03-04-05Z.jsonl", nastySession())
	other := write("2026-01-03\x1b[2J\u202eT03.jsonl", nastySession())
	junk := write("junk\x1b[31m.jsonl", nasty)
	csv := write("in.csv", "seconds,celsius,mark\n1,20,\n2,21,\"note:"+nasty+"\"\n3,22,"+strings.ReplaceAll(nasty, "\"", "")+"\n")
	recipe := write("evil.toml", nastyRecipe)
	broken := write("broken.toml", "name = \""+nasty+"\n")
	config := write("settings.toml", "near = \"8F\"\nprobe = \"evil\\u001b[2J\"\n[probe.\"evil\\u001b[2J\"]\naddress = \"\\u001b]0;owned\\u0007\"\nlag = \"\\u001b[31m\"\n")
	page, picture := filepath.Join(dir, "page.html"), filepath.Join(dir, "curve.svg")
	before := contents(t, root)

	for _, c := range []struct {
		args  []string
		stdin string
	}{
		{[]string{"sessions", "--dir", dir}, ""},
		{[]string{"sessions", "--dir", dir, "--json"}, ""},
		{[]string{"sessions", "--dir", dir, "--search", nasty}, ""},
		{[]string{"trace", batch}, ""},
		{[]string{"trace", junk}, ""},
		{[]string{"trace", csv}, ""},
		{[]string{"trace", "-"}, nasty},
		{[]string{"trace", "-"}, nastySession()},
		{[]string{"review", batch}, ""},
		{[]string{"review", other}, ""},
		{[]string{"review", junk}, ""},
		{[]string{"compare", "--plain", batch, other}, ""},
		{[]string{"report", batch, other, "-o", page}, ""},
		{[]string{"report", batch, "--svg", "-o", picture}, ""},
		{[]string{"export", batch}, ""},
		{[]string{"export", batch, "--jsonl", "-o", filepath.Join(dir, "copy.jsonl")}, ""}, // refuses a terminal
		{[]string{"import", csv, "--dir", dir, "--dry-run"}, ""},
		{[]string{"import", junk, "--dir", dir, "--dry-run"}, ""},
		{[]string{"label", batch, "--dir", dir, "--title", nasty, "--note", nasty, "--tag", nasty}, ""},
		{[]string{"endpoint", nasty, "--dir", dir}, ""},
		{[]string{"repair", other, "--dir", dir}, ""},
		{[]string{"replay", junk}, ""},
		{[]string{"replay", nasty}, ""},
		{[]string{"delete", "../../" + nasty, "--dir", dir}, ""},
		{[]string{"delete", "../canary", "--dir", dir}, ""},
		{[]string{"restore", "../" + nasty + ".jsonl", "--dir", dir}, ""},
		{[]string{"restore", "../../canary", "--dir", dir}, ""},
		{[]string{"restore", "--dir", dir}, ""},
		{[]string{"recipe", "show", recipe}, ""},
		{[]string{"recipe", "check", recipe, broken}, ""},
		{[]string{"plan", recipe}, ""},
		{[]string{"plan", broken}, ""},
		{[]string{"settings", "--config", config}, ""},
		{[]string{"probes", "--config", config}, ""},
		{[]string{"probes", "/dev/" + nasty}, ""},
		{[]string{"cook", "--probe", nasty, "--dir", dir}, ""},
		{[]string{"cook", "--probe", "-", "--dir", dir, "--recipe", broken}, ""},
		{[]string{"cook", "--probe", "-", "--dir", dir, "--name", nasty}, "20.5\n" + nasty + "\n" + nasty + " 21.0 C\n{\"t\":\"" + nasty + "\"}\n21.5\n"},
		{[]string{"cook", "--alert", nasty, "--probe", "-", "--dir", dir}, ""},
		{[]string{nasty}, ""},
		{[]string{"sessions", "--" + nasty}, ""},
	} {
		t.Run(oneLine(strings.Join(c.args[:min(len(c.args), 2)], " ")), func(t *testing.T) {
			ctx, cancel := context.WithTimeout(t.Context(), patienceForOne)
			defer cancel()
			args := c.args
			if !strings.Contains(strings.Join(args, " "), "--config") {
				args = append([]string{"--config", "none"}, args...)
			}
			var out, errOut bytes.Buffer
			run(ctx, args, strings.NewReader(c.stdin), &out, &errOut)
			for name, s := range map[string]string{"standard output": out.String(), "standard error": errOut.String()} {
				if bad := raw(s); bad != "" {
					t.Errorf("%s holds %s", name, bad)
				}
			}
		})
	}
	for _, path := range []string{page, picture} {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if bad := raw(string(text)); bad != "" {
			t.Errorf("%s holds %s", path, bad)
		}
		if strings.Contains(string(text), "<script>alert") {
			t.Errorf("%s holds a script of the session's", path)
		}
	}
	for path, mode := range contents(t, root) {
		if rel, _ := filepath.Rel(dir, path); strings.HasPrefix(rel, "..") && before[path] == 0 {
			t.Errorf("%q was made outside of the folder", path)
		}
		if mode.IsRegular() && mode.Perm() != 0o600 && runtime.GOOS != "windows" {
			t.Errorf("%q has mode %v, want it readable by its owner alone", path, mode)
		}
	}
}

// Nor does what a device says of itself when it is plugged in.
func TestHostileDevices(t *testing.T) {
	root := t.TempDir()
	for path, text := range map[string]string{
		"class/hwmon/hwmon0/name":                 nasty,
		"class/hwmon/hwmon0/temp1_input":          "20000",
		"class/hwmon/hwmon0/temp1_label":          nasty,
		"bus/iio/devices/iio:device0/name":        nasty,
		"bus/iio/devices/iio:device0/in_temp_raw": "20000",
		"class/hidraw/hidraw0/device/uevent":      "HID_ID=0003:0000413D:00002107\nHID_NAME=" + nasty + "\nHID_UNIQ=" + nasty,
		"bus/w1/devices/28-0\x1b[2J1/temperature": "20000",
	} {
		path = filepath.Join(root, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Skipf("this system takes no such file name: %v", err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var out bytes.Buffer
	listOthers(&out, root)
	is := port.Found{Path: "/dev/" + nasty, USB: nasty, Manufacturer: nasty, Product: nasty, ByID: nasty}
	heard := port.Heard{Baud: 9600, Lines: []string{nasty}, Guess: probe.Guess{Why: nasty, Format: probe.Format{Key: nasty, Sep: nasty}}}
	fmt.Fprintln(&out, portWords(is), cookLine(is, heard))
	if said := out.String(); strings.Count(said, "evil") < 6 {
		t.Errorf("it lists %q", said)
	} else if bad := raw(said); bad != "" {
		t.Errorf("it lists %s", bad)
	}
}

// patienceForOne bounds a command; a cook without a probe would wait for ever.
const patienceForOne = 3 * time.Second

func contents(t *testing.T, root string) map[string]fs.FileMode {
	t.Helper()
	all := map[string]fs.FileMode{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := d.Info()
		if err == nil && path != root {
			all[path] = info.Mode()
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// endless yields head, then body again and again up to so many bytes.
type endless struct {
	head, body string
	left       int
}

func (e *endless) Read(b []byte) (int, error) {
	if e.left <= 0 {
		return 0, io.EOF
	}
	n := copy(b, e.head)
	e.head = e.head[n:]
	for n < len(b) {
		n += copy(b[n:], e.body)
	}
	n = min(n, e.left)
	e.left -= n
	return n, nil
}

// However long a line, deep a structure or large a number, memory stays small.
func TestHostileInputIsBounded(t *testing.T) {
	const flood, most = 64 << 20, 48 << 20
	head := strings.SplitAfterN(nastySession(), "\n", 2)[0]
	for _, c := range []struct {
		name string
		args []string
		in   endless
	}{
		{"a CSV line without an end", []string{"trace", "-"}, endless{"seconds,celsius,mark\n1,20,", "x", flood}},
		{"a quoted cell without an end", []string{"trace", "-"}, endless{"seconds,celsius,mark\n1,20,\"", "x\n", flood}},
		{"no format at all", []string{"trace", "-"}, endless{"", "x", flood}},
		{"a session line without an end", []string{"trace", "-"}, endless{head, "x", flood}},
		{"a first line without an end", []string{"trace", "-"}, endless{`{"k":"head","format":"boildown session","recipe":"`, "x", flood}},
		{"deep JSON in a session", []string{"trace", "-"}, endless{head + `{"k":"note","x":`, "[", flood}},
		{"a number without an end", []string{"trace", "-"}, endless{"seconds,celsius,mark\n1,", "9", flood}},
		{"a probe's line without an end", []string{"cook", "--probe", "-", "--plain", "--dir", "DIR"}, endless{"", "9", flood}},
		{"deep JSON from a probe", []string{"cook", "--probe", "-", "--plain", "--dir", "DIR"}, endless{"", "[{\"a\":", flood}},
	} {
		t.Run(c.name, func(t *testing.T) {
			args := append([]string{"--config", "none"}, c.args...)
			if args[len(args)-1] == "DIR" {
				args[len(args)-1] = t.TempDir()
			}
			runtime.GC()
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			var errOut bytes.Buffer
			run(t.Context(), args, &c.in, io.Discard, &errOut)
			runtime.ReadMemStats(&after)
			if grew := int64(after.HeapSys) - int64(before.HeapSys); grew > most {
				t.Errorf("the heap grew by %d MB over %d MB of input", grew>>20, flood>>20)
			}
			if bad := raw(errOut.String()); bad != "" {
				t.Errorf("standard error holds %s", bad)
			}
		})
	}
}

// A password reaches no output, no file and no error.
func TestSecretsStayInTheEnvironment(t *testing.T) {
	const secret = "h0t-sugar"
	t.Setenv("BOILDOWN_MQTT_USER", "cook")
	t.Setenv("BOILDOWN_MQTT_PASSWORD", secret)
	for _, address := range []string{"mqtt://cook:" + secret + "@localhost/pot", "mqtt://cook:" + secret + "@[::/pot", "mqtt://127.0.0.1:1/pot"} {
		dir := t.TempDir()
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		var out, errOut bytes.Buffer
		run(ctx, []string{"--config", "none", "cook", "--plain", "--probe", address, "--dir", dir}, strings.NewReader(""), &out, &errOut)
		cancel()
		said := out.String() + errOut.String()
		for path := range contents(t, dir) {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			said += string(text)
		}
		if strings.Contains(said, secret) || said == "" {
			t.Errorf("%s: it says %q", address, said)
		}
	}
}
