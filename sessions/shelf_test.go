package sessions

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// putBatch writes a session of n readings at 1 Hz that began at start.
func putBatch(tb testing.TB, dir string, start time.Time, recipe string, n int) string {
	tb.Helper()
	h := testHeader()
	h.Start, h.Recipe = start, recipe
	file, err := h.line()
	if err != nil {
		tb.Fatal(err)
	}
	for i := range n {
		in := plateau.Input{Kind: plateau.Measured, At: time.Duration(i) * time.Second, C: probe.Celsius(20 + 100*float64(i)/float64(n))}
		file = appendInput(file, Rounded(in))
	}
	line, err := sealed(wireClose{K: "close", Summary: Summary{End: time.Duration(n) * time.Second, Readings: n, Peak: 119.4, Phase: "done"}.stored()})
	if err != nil {
		tb.Fatal(err)
	}
	path := filepath.Join(dir, Name(start, 0))
	if err := os.WriteFile(path, append(file, line...), 0o600); err != nil {
		tb.Fatal(err)
	}
	return path
}

var morning = time.Date(2026, 10, 3, 6, 0, 0, 0, time.UTC)

func names(entries []Entry) string {
	var out []string
	for _, e := range entries {
		out = append(out, strings.TrimSuffix(e.Name, Ext))
	}
	return strings.Join(out, " ")
}

func TestListShowsDamagedFilesAndHidesNoOther(t *testing.T) {
	dir := t.TempDir()
	putBatch(t, dir, morning, "Soft caramels", 100)
	putBatch(t, dir, morning.Add(time.Hour), "Pretzel rods", 100)
	hurt := putBatch(t, dir, morning.Add(2*time.Hour), "Pears", 100)
	file, err := os.ReadFile(hurt)
	if err != nil {
		t.Fatal(err)
	}
	file[len(file)/2] ^= 1
	for name, content := range map[string]string{
		filepath.Base(hurt): string(file),
		"noise.jsonl":       "\x00\xff noise",
		"empty.jsonl":       "",
		"notes.txt":         "not a session",
		".hidden.jsonl":     "not a session",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.jsonl"), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, state := range []string{"cold", "warm"} {
		got, err := List(dir)
		if err != nil || len(got) != 5 {
			t.Fatalf("%s: %d entries, want 5 (%v): %s", state, len(got), err, names(got))
		}
		byName := map[string]Entry{}
		for _, e := range got {
			byName[e.Name] = e
		}
		if e := byName[filepath.Base(hurt)]; e.Damaged != 1 || e.Recipe != "Pears" || e.Peak != 119.4 || !e.Closed {
			t.Errorf("%s: damaged session listed as %+v", state, e)
		}
		if e := byName["noise.jsonl"]; !strings.Contains(e.Trouble, "not a boildown session") || e.Title() != "noise.jsonl" {
			t.Errorf("%s: noise listed as %+v", state, e)
		}
		if e := byName["empty.jsonl"]; !strings.Contains(e.Trouble, "nothing was recorded") {
			t.Errorf("%s: empty file listed as %+v", state, e)
		}
	}
}

func TestListFollowsTheFilesWhateverTheIndexSays(t *testing.T) {
	dir := t.TempDir()
	first := putBatch(t, dir, morning, "Soft caramels", 50)
	second := putBatch(t, dir, morning.Add(24*time.Hour), "Soft caramels", 50)
	if got, _ := List(dir); names(got) != "2026-10-04T06-00-00Z 2026-10-03T06-00-00Z" {
		t.Errorf("newest first: %s", names(got))
	}
	title := "the fair"
	if err := Amend(first, Amendment{Title: &title}); err != nil {
		t.Fatal(err)
	}
	if got, _ := List(dir); got[1].Title() != title {
		t.Errorf("after an amendment the title is %q", got[1].Title())
	}
	if err := os.Remove(second); err != nil {
		t.Fatal(err)
	}
	for _, index := range []string{"", "\x00\x00", indexVersion + "\n{\"name\":\"../../etc/passwd\",\"size\":1}\nnoise\n"} {
		if index != "" {
			if err := os.WriteFile(filepath.Join(dir, indexName), []byte(index), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		got, err := List(dir)
		if err != nil || len(got) != 1 || got[0].Title() != title || got[0].End != 49*time.Second {
			t.Errorf("with the index %q: %+v, %v", index, got, err)
		}
	}
	if got, err := List(filepath.Join(dir, "nowhere")); err != nil || len(got) != 0 {
		t.Errorf("a folder that is not there: %v, %v", got, err)
	}
}

func TestCurveOfAnEntry(t *testing.T) {
	dir := t.TempDir()
	putBatch(t, dir, morning, "Soft caramels", 3600) // 20 to 120 °C, evenly
	entries, err := List(dir)
	if err != nil {
		t.Fatal(err)
	}
	points, ok := entries[0].Curve()
	if len(points) < sparkWidth/2 || len(points) > sparkWidth {
		t.Fatalf("%d points", len(points))
	}
	for i, c := range points {
		mid := 20 + 100*(float64(i)+0.5)*128/3600
		if i < len(points)-1 && (!ok[i] || float64(c) < mid-2.6 || float64(c) > mid+2.6) {
			t.Errorf("point %d is %.1f °C, want %.1f", i, c, mid)
		}
	}
}

func TestFilterAndSort(t *testing.T) {
	entry := func(recipe string, day int, target probe.Celsius, texture int, tags ...string) Entry {
		return Entry{Name: fmt.Sprint(recipe, day), Start: morning.AddDate(0, 0, day), Recipe: recipe, Target: target,
			Label: Label{Tags: tags, Outcome: Outcome{Texture: texture}}}
	}
	shelf := []Entry{
		entry("Soft caramels", 0, 118.3, 4, "fair"),
		entry("Dipping caramel", 1, 112.8, 0),
		entry("Soft caramels", 2, 120, 5, "Fair", "copper"),
	}
	for _, tt := range []struct {
		name string
		f    Filter
		want string
	}{
		{"all", Filter{}, "Soft caramels0 Dipping caramel1 Soft caramels2"},
		{"recipe", Filter{Recipe: "soft"}, "Soft caramels0 Soft caramels2"},
		{"from", Filter{From: morning.AddDate(0, 0, 1)}, "Dipping caramel1 Soft caramels2"},
		{"to", Filter{To: morning.AddDate(0, 0, 1)}, "Soft caramels0"},
		{"tag", Filter{Tag: "fair"}, "Soft caramels0 Soft caramels2"},
		{"target", Filter{Target: probe.Fahrenheit(235)}, "Dipping caramel1"},
		{"texture", Filter{Texture: 5}, "Soft caramels2"},
		{"text", Filter{Text: "COPPER"}, "Soft caramels2"},
	} {
		if got := names(Filtered(shelf, tt.f)); got != tt.want {
			t.Errorf("%s: got %s, want %s", tt.name, got, tt.want)
		}
	}
	for by, want := range map[string]string{
		"date":    "Soft caramels2 Dipping caramel1 Soft caramels0",
		"recipe":  "Dipping caramel1 Soft caramels0 Soft caramels2",
		"target":  "Soft caramels2 Soft caramels0 Dipping caramel1",
		"texture": "Soft caramels2 Soft caramels0 Dipping caramel1",
	} {
		got := slices.Clone(shelf)
		if err := Sort(got, by); err != nil || names(got) != want {
			t.Errorf("by %s: got %s, %v, want %s", by, names(got), err, want)
		}
	}
	if err := Sort(shelf, "colour"); err == nil {
		t.Error("sorted by colour")
	}
}

func TestFind(t *testing.T) {
	dir := t.TempDir()
	a := putBatch(t, dir, morning, "a", 5)
	b := putBatch(t, dir, morning.AddDate(0, 0, 1), "b", 5)
	for what, want := range map[string]string{
		"last": b, "2026-10-03": a, filepath.Base(a): a, "2026-10-04T06-00-00Z": b, a: a,
		"2026": "", "2025": "", "": "", filepath.Join(dir, "none.jsonl"): "",
	} {
		got, err := Find(dir, what)
		if got.Path != want || (err == nil) != (want != "") {
			t.Errorf("Find(%q) = %q, %v, want %q", what, got.Path, err, want)
		}
	}
}

func TestBinAndBack(t *testing.T) {
	dir := t.TempDir()
	path := putBatch(t, dir, morning, "a", 5)
	name := filepath.Base(path)
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	binned, err := Discard(dir, name)
	if err != nil {
		t.Fatal(err)
	}
	if left, _ := List(dir); len(left) != 0 {
		t.Errorf("still on the shelf: %s", names(left))
	}
	if in, _ := Bin(dir); len(in) != 1 || in[0].Name != binned {
		t.Errorf("in the bin: %s", names(in))
	}
	putBatch(t, dir, morning, "another of that second", 5)
	back, err := Restore(dir, binned)
	if err != nil || back == name {
		t.Fatalf("came back as %q, %v", back, err)
	}
	if got, err := os.ReadFile(filepath.Join(dir, back)); err != nil || !slices.Equal(got, want) {
		t.Errorf("came back changed (%v)", err)
	}
	for _, bad := range []string{"", "..", "../x.jsonl", "bin/x.jsonl", "/etc/passwd", "x.txt", ".x.jsonl", "none.jsonl"} {
		if _, err := Discard(dir, bad); err == nil {
			t.Errorf("Discard took %q", bad)
		}
		if _, err := Restore(dir, bad); err == nil {
			t.Errorf("Restore took %q", bad)
		}
	}
	r, err := Create(dir, testHeader())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Leave()
	if _, err := Discard(dir, filepath.Base(r.Path())); !errors.Is(err, ErrLocked) {
		t.Errorf("discarding a batch that is being recorded: %v", err)
	}
}

// BenchmarkList lists shelves of growing size, cold (no index) and warm.
func BenchmarkList(b *testing.B) {
	for _, size := range []struct{ sessions, readings int }{{100, 3600}, {1000, 3600}, {10_000, 300}} {
		dir := b.TempDir()
		for i := range size.sessions {
			putBatch(b, dir, morning.Add(time.Duration(i)*time.Hour), "Soft caramels", size.readings)
		}
		for _, warm := range []bool{false, true} {
			b.Run(fmt.Sprintf("%d of %d s/warm=%v", size.sessions, size.readings, warm), func(b *testing.B) {
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				cpu := cpuTime()
				for b.Loop() {
					if !warm {
						os.Remove(filepath.Join(dir, indexName))
					}
					entries, err := List(dir)
					if err != nil || len(entries) != size.sessions {
						b.Fatal(len(entries), err)
					}
				}
				b.ReportMetric(float64((cpuTime()-cpu).Milliseconds())/float64(b.N), "cpu-ms/op")
				runtime.ReadMemStats(&after)
				b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/float64(b.N)/float64(size.sessions), "B/session")
			})
		}
	}
}
