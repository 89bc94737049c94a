package sessions

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// smallFile is a whole session as the recorder writes it, and its inputs.
func smallFile(t testing.TB) ([]byte, []plateau.Input) {
	t.Helper()
	file, err := testHeader().line()
	if err != nil {
		t.Fatal(err)
	}
	var want []plateau.Input
	for _, in := range someInputs() {
		in = Rounded(in)
		want = append(want, in)
		file = appendInput(file, in)
	}
	for _, v := range []any{
		wireRecord{K: "source", T: 60, Link: "up"},
		wireRecord{K: "prompt", T: 60.25, Prompt: "pull", Text: "Pull the pot off now."},
		wireClose{K: "close", Summary: Summary{End: time.Minute, Readings: 6}.stored()},
	} {
		line, err := sealed(v)
		if err != nil {
			t.Fatal(err)
		}
		file = append(file, line...)
	}
	return file, want
}

// Every cut leaves all whole lines before it, and says so.
func TestCutAtEveryByte(t *testing.T) {
	file, _ := smallFile(t)
	headEnd := bytes.IndexByte(file, '\n') + 1
	for cut := range len(file) + 1 {
		s, err := Decode(bytes.NewReader(file[:cut]))
		if cut < headEnd-1 {
			if !errors.Is(err, ErrEmpty) {
				t.Fatalf("cut at %d, inside the header: %v", cut, err)
			}
			continue
		}
		if err != nil {
			t.Fatalf("cut at %d: %v", cut, err)
		}
		whole := bytes.Count(file[:cut], []byte{'\n'})
		if cut < len(file) && file[cut] == '\n' {
			whole++ // all but its line end
		}
		if len(s.Records) != whole-1 || len(s.Damage) != 0 {
			t.Errorf("cut at %d: %d records, want %d; damage %v", cut, len(s.Records), whole-1, s.Damage)
		}
		clean := cut == 0 || file[cut-1] == '\n' || cut < len(file) && file[cut] == '\n'
		if s.Torn == clean {
			t.Errorf("cut at %d: torn is %v", cut, s.Torn)
		}
	}
}

// Any change of any byte costs at most the line it is in and is reported; a
// changed header costs no record.
func TestFlipEveryByte(t *testing.T) {
	file, _ := smallFile(t)
	all, err := Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	headEnd := bytes.IndexByte(file, '\n') + 1
	changes := []byte{1, 4, 128, 0} // the checksum itself is tried with all 255 changes in TestUnsealTakesOnlyWhatWasSealed
	for i := range file {
		for _, change := range changes {
			old := file[i]
			if file[i] ^= change; change == 0 {
				file[i] = '\n'
			}
			if file[i] == old {
				continue
			}
			checkFlip(t, file, i, headEnd, all)
			file[i] = old
		}
	}
}

func checkFlip(t *testing.T, file []byte, i, headEnd int, all *Session) {
	t.Helper()
	s, err := Decode(bytes.NewReader(file))
	if err != nil {
		if i >= headEnd || !errors.Is(err, ErrNotSession) {
			t.Errorf("byte %d as %q: %v", i, file[i], err)
		} else {
			t.Errorf("byte %d of the header as %q: the session no longer opens", i, file[i])
		}
		return
	}
	// The last line end carries nothing: without it the last line is whole.
	if i < len(file)-1 && len(s.Damage) == 0 && !s.Torn {
		t.Errorf("byte %d as %q: nothing is reported", i, file[i])
	}
	least := len(all.Records) - 1
	if i < headEnd || file[i] == '\n' && i == headEnd-1 {
		least = len(all.Records)
	}
	if len(s.Records) < least {
		t.Errorf("byte %d as %q: %d of %d records survive", i, file[i], len(s.Records), len(all.Records))
	}
	for _, rec := range s.Records {
		if !slices.ContainsFunc(all.Records, func(r Record) bool {
			return r.Kind == rec.Kind && r.Input == rec.Input && r.Prompt == rec.Prompt && r.Text == rec.Text
		}) {
			t.Errorf("byte %d as %q: a record was made up: %+v", i, file[i], rec)
		}
	}
}

func TestDamage(t *testing.T) {
	file, _ := smallFile(t)
	lines := bytes.SplitAfter(file, []byte{'\n'})
	lines = lines[:len(lines)-1]
	records := len(lines) - 1
	join := func(l ...[]byte) []byte { return bytes.Join(l, nil) }
	half := func(b []byte) []byte { return b[:len(b)/2] }
	unknown := seal([]byte(`{"k":"weather","t":3.000,"hpa":980`), 0)
	extra := seal([]byte(`{"k":"reading","t":61.000,"c":100.5,"colour":"amber"`), 0)
	resume := appendInput(nil, plateau.Input{Kind: plateau.Resumed, At: time.Hour})
	tests := []struct {
		name    string
		file    []byte
		survive int
		damage  string // places of damage as line numbers
		torn    bool
		say     string // in a note or a damage
	}{
		{"whole", file, records, "", false, ""},
		{"no last line end", file[:len(file)-1], records, "", false, ""},
		{"torn last line", join(file, half(lines[3])), records, "", true, "cut short by a crash"},
		{"zero-filled tail", join(file, make([]byte, 4096)), records, "", true, "cut short"},
		{"torn, then zero-filled", join(file, half(lines[3]), make([]byte, 512)), records, "", true, ""},
		{"torn, then continued", join(file, half(lines[3]), []byte{'\n'}, resume), records + 1, "", true, ""},
		{"zeroed block in the middle", join(lines[0], lines[1], make([]byte, 300), join(lines[4:]...)), records - 2, "3", false, "1 whole records"},
		{"half a line in the middle", join(lines[0], half(lines[1]), []byte{'\n'}, join(lines[2:]...)), records - 1, "2", false, "more follows"},
		{"half a line run into the next", join(lines[0], half(lines[1]), join(lines[2:]...)), records - 1, "2", false, "1 whole records were found"},
		{"lines swapped about by hand", join(lines[0], lines[2], lines[1]), 2, "", false, ""},
		{"edited by hand", bytes.Replace(file, []byte(`"c":21.5`), []byte(`"c":31.5`), 1), records - 1, "2", false, "checksum"},
		{"a line of noise", join(lines[0], []byte("\x1b[2Jnoise\xff\n"), join(lines[1:]...)), records, "2", false, ""},
		{"an endless line", join(lines[0], bytes.Repeat([]byte("x"), 1<<20), []byte{'\n'}, join(lines[1:]...)), records, "2", false, "too long"},
		{"CR LF line ends", bytes.ReplaceAll(file, []byte("\n"), []byte("\r\n")), records, "", false, ""},
		{"byte order mark", join([]byte("\xEF\xBB\xBF"), file), records, "", false, ""},
		{"blank lines", join(file, []byte("\n\n")), records, "", false, ""},
		{"header's end zeroed", join(half(lines[0]), make([]byte, 40), []byte{'\n'}, join(lines[1:]...)), records, "1", false, "settings are unknown"},
		{"header edited by hand", bytes.Replace(file, []byte("Soft"), []byte("Hard"), 1), records, "1", false, "may be wrong"},
		{"unknown kind", join(file, unknown, unknown), records, "", false, `does not know ("weather")`},
		{"unknown field", join(file, extra), records + 1, "", false, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Decode(bytes.NewReader(tt.file))
			if err != nil {
				t.Fatal(err)
			}
			places := ""
			said := strings.Join(s.Notes, "\n")
			for _, d := range s.Damage {
				places += fmt.Sprint(d.Line)
				said += d.Error()
			}
			if len(s.Records) != tt.survive || places != tt.damage || s.Torn != tt.torn || !strings.Contains(said, tt.say) {
				t.Errorf("%d records survive, want %d; damage at %q, want %q; torn %v; said %q",
					len(s.Records), tt.survive, places, tt.damage, s.Torn, said)
			}
		})
	}
}

func TestWhatIsNotASession(t *testing.T) {
	file, _ := smallFile(t)
	for _, tt := range []struct {
		name, file string
		want       error
	}{
		{"nothing", "", ErrEmpty},
		{"zeros alone", "\x00\x00\x00", ErrEmpty},
		{"a cut header", string(file[:40]), ErrEmpty},
		{"text", "# notes\n", ErrNotSession},
		{"CSV", CSVHeader + "\n0,20,\n", ErrNotSession},
		{"other JSON", `{"hello":1}` + "\n", ErrNotSession},
		{"deep JSON", strings.Repeat(`{"a":`, 50_000), ErrNotSession},
	} {
		if _, err := Decode(strings.NewReader(tt.file)); !errors.Is(err, tt.want) {
			t.Errorf("%s: got %v, want %v", tt.name, err, tt.want)
		}
	}
}

const batches = "../testdata/batches/"

// The first file of format 1 must load for ever, to the same inputs.
func TestVersion1FileLoads(t *testing.T) {
	s, err := Read(batches + "v1.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	var want []plateau.Input
	for _, in := range someInputs() {
		want = append(want, Rounded(in))
	}
	checkInputs(t, s, want)
	h := s.Header
	if h.Recipe != "Soft caramels" || h.Unit != probe.UnitF || h.Config != testHeader().Config ||
		!h.Start.Equal(testHeader().Start) || !h.Demo || h.Zone != "Europe/Berlin" {
		t.Errorf("header %+v", h)
	}
	if !s.Closed || s.Torn || s.Label.Outcome.TextureWord() != "soft" || !slices.Equal(s.Label.Tags, []string{"fair", "copper pot"}) {
		t.Errorf("closed %v, torn %v, label %+v", s.Closed, s.Torn, s.Label)
	}
	if s.Summary.Peak != 113.2 || s.Summary.End != 60250*time.Millisecond {
		t.Errorf("summary %+v", s.Summary)
	}
}

func FuzzRead(f *testing.F) {
	file, _ := smallFile(f)
	f.Add(file)
	f.Add(file[:len(file)-9])
	f.Add(append(append([]byte{}, file...), make([]byte, 100)...))
	f.Add(bytes.ReplaceAll(file, []byte{'\n'}, nil))
	f.Add([]byte(`{"k":"head","format":"boildown session","v":99}`))
	if file, err := os.ReadFile(batches + "v1.jsonl"); err == nil {
		f.Add(file)
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		s, err := Decode(bytes.NewReader(file))
		if err != nil {
			return
		}
		for in := range s.Inputs() {
			if Rounded(in) != in {
				t.Errorf("an input that no file can hold: %+v", in)
			}
		}
		for _, text := range append(s.Notes, s.Header.Recipe, s.Label.Title, s.Title()) {
			if clean(text, len(text)) != text {
				t.Errorf("text that must not be shown raw: %q", text)
			}
		}
	})
}

func TestRepairKeepsTheOldFile(t *testing.T) {
	file, want := smallFile(t)
	broken := bytes.Replace(file, []byte(`"c":21.5`), []byte(`"c":31.5`), 1)
	broken = append(broken, `{"k":"rea`...)
	path := filepath.Join(t.TempDir(), "batch.jsonl")
	if err := os.WriteFile(path, broken, 0o600); err != nil {
		t.Fatal(err)
	}
	done, err := Repair(path)
	if err != nil {
		t.Fatal(err)
	}
	if old, err := os.ReadFile(done.Old); err != nil || !bytes.Equal(old, broken) || done.Old != path+".broken" {
		t.Errorf("old file %q is not kept as it was (%v)", done.Old, err)
	}
	if len(done.Damage) != 2 {
		t.Errorf("damage %v, want the edited and the torn line", done.Damage)
	}
	s := mustRead(t, path)
	checkInputs(t, s, want[1:])
	if s.Torn || done.Kept != len(s.Records)+1 {
		t.Errorf("kept %d lines, file has %d records, torn %v", done.Kept, len(s.Records), s.Torn)
	}
	if again, err := Repair(path); err != nil || again.Old != "" {
		t.Errorf("repairing a whole file: %+v, %v", again, err)
	}
}

func TestAmendOnlyAppends(t *testing.T) {
	file, want := smallFile(t)
	path := filepath.Join(t.TempDir(), "batch.jsonl")
	torn := append(slices.Clone(file), `{"k":"rea`...)
	if err := os.WriteFile(path, torn, 0o600); err != nil {
		t.Fatal(err)
	}
	title, tags := "for the fair \x1b[31m", []string{"pears", "pears", "\x00"}
	for _, a := range []Amendment{{Title: &title}, {Tags: &tags}, {Outcome: &Outcome{Texture: 4, Text: "chewy"}}} {
		if err := Amend(path, a); err != nil {
			t.Fatal(err)
		}
	}
	s := mustRead(t, path)
	checkInputs(t, s, want)
	l := s.Label
	if l.Title != "for the fair  [31m" || !slices.Equal(l.Tags, []string{"pears", " "}) && !slices.Equal(l.Tags, []string{"pears"}) || l.Outcome.TextureWord() != "chewy" || !s.Torn {
		t.Errorf("label %+v, torn %v", l, s.Torn)
	}
	now, err := os.ReadFile(path)
	if err != nil || !bytes.HasPrefix(now, torn) {
		t.Error("what was there before has changed")
	}
}

func BenchmarkRead(b *testing.B) {
	file, err := testHeader().line()
	if err != nil {
		b.Fatal(err)
	}
	for i := range 36_000 {
		file = appendInput(file, Rounded(plateau.Input{Kind: plateau.Measured, At: time.Duration(i) * 100 * time.Millisecond, C: probe.Celsius(20 + float64(i)/400)}))
	}
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	for b.Loop() {
		rd, err := NewReader(bytes.NewReader(file))
		if err != nil {
			b.Fatal(err)
		}
		n := 0
		for range rd.Inputs() {
			n++
		}
		if n != 36_000 {
			b.Fatal(n)
		}
	}
}
