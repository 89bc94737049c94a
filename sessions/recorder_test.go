package sessions

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// These tests run in a synctest bubble: its clock stands until all its
// goroutines wait, so an hour passes in no time and a delay of the caller by
// the disk would show as passed time.

// record feeds a recorder n readings at hz, from the batch's time from.
func record(r *Recorder, from, n int, hz int) []plateau.Input {
	var fed []plateau.Input
	for i := range n {
		at := time.Duration(from+i) * time.Second / time.Duration(hz)
		in := Rounded(plateau.Input{Kind: plateau.Measured, At: at, C: probe.Celsius(20 + float64((from+i)%1000)/10)})
		r.Input(in)
		fed = append(fed, in)
		time.Sleep(time.Second / time.Duration(hz))
	}
	return fed
}

func mustRead(t *testing.T, path string) *Session {
	t.Helper()
	s, err := Read(path)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func checkInputs(t *testing.T, s *Session, want []plateau.Input) {
	t.Helper()
	got := slices.Collect(s.Inputs())
	if !slices.Equal(got, want) {
		i := 0
		for i < len(got) && i < len(want) && got[i] == want[i] {
			i++
		}
		t.Errorf("file holds %d inputs, want %d; they differ from number %d on", len(got), len(want), i)
	}
	if len(s.Damage) > 0 {
		t.Errorf("damage in a file that a recorder wrote: %v", s.Damage)
	}
}

func TestRecorderKeepsABatch(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		dir := filepath.Join(t.TempDir(), "new", "folder")
		r, err := Create(dir, testHeader())
		if err != nil {
			t.Fatal(err)
		}
		var want []plateau.Input
		for _, in := range someInputs() {
			r.Input(in)
			want = append(want, Rounded(in))
		}
		r.Source(14*time.Second, probe.LinkLost, "The probe is gone: check the plug.")
		r.Prompt(15*time.Second, plateau.PullNow, "Pull the pot off now.")
		title := "first try"
		r.Amend(Amendment{Title: &title})
		sum := Summary{End: time.Minute, Readings: 5, Peak: 113.2, PullAt: 50 * time.Second, Phase: "dip"}
		if err := r.Close(sum); err != nil {
			t.Fatal(err)
		}
		r.Input(want[0]) // after the end: ignored
		s := mustRead(t, r.Path())
		checkInputs(t, s, want)
		if s.Header != testHeader().Stored() {
			t.Errorf("header %+v", s.Header)
		}
		if !s.Closed || s.Torn || s.Label.Title != title || !reflect.DeepEqual(s.Summary.loaded(), sum.stored().loaded()) {
			t.Errorf("closed %v, torn %v, title %q, summary %+v", s.Closed, s.Torn, s.Label.Title, s.Summary)
		}
		var prompts, links int
		for _, rec := range s.Records {
			switch {
			case rec.Kind == PromptRecord && rec.Prompt == plateau.PullNow && rec.Text == "Pull the pot off now.":
				prompts++
			case rec.Kind == SourceRecord && rec.Link == probe.LinkLost:
				links++
			}
		}
		if prompts != 1 || links != 1 {
			t.Errorf("%d prompts and %d links, want one of each", prompts, links)
		}
		checkModes(t, dir, r.Path())
	})
}

func checkModes(t *testing.T, dir, path string) {
	t.Helper()
	if os.PathSeparator == '\\' {
		return // modes are the system's own there
	}
	for p, want := range map[string]fs.FileMode{dir: 0o700, path: 0o600} {
		info, err := os.Stat(p)
		if err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: mode %v, want %v (%v)", p, info.Mode().Perm(), want, err)
		}
	}
}

func TestRecorderSyncsEachSecondAndAtOnceAtAMark(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, err := Create(t.TempDir(), testHeader())
		if err != nil {
			t.Fatal(err)
		}
		defer r.Leave()
		worst := time.Duration(0)
		for i := range 100 {
			record(r, i, 1, 10)
			worst = max(worst, r.Status().Unsynced)
		}
		if worst > syncEvery+100*time.Millisecond {
			t.Errorf("a line waited %v for its sync", worst)
		}
		time.Sleep(1300 * time.Millisecond)
		r.Input(plateau.Input{Kind: plateau.Measured, At: 12 * time.Second, C: 20})
		r.Input(plateau.Input{Kind: plateau.Marked, At: 12 * time.Second, Mark: plateau.MarkPull})
		synctest.Wait()
		if s := r.Status(); s.Kept != 0 {
			t.Errorf("after a mark %d lines are not synced", s.Kept)
		}
	})
}

func TestRecorderNeverDelaysItsCaller(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		disk := newFaultyDisk()
		r, err := CreateOn(disk, t.TempDir(), testHeader())
		if err != nil {
			t.Fatal(err)
		}
		disk.set(func(d *faultyDisk) { d.syncTime = time.Second })
		begin := time.Now()
		want := record(r, 0, 300, 10)
		if took := time.Since(begin); took != 30*time.Second {
			t.Errorf("30 s of readings took %v with syncs of 1 s", took)
		}
		// A sync that ends with the tick of the next may miss it: three seconds.
		if s := r.Status(); s.Unsynced > 3200*time.Millisecond {
			t.Errorf("oldest unsynced line is %v old", s.Unsynced)
		}
		if err := r.Close(Summary{}); err != nil {
			t.Fatal(err)
		}
		checkInputs(t, mustRead(t, r.Path()), want)
	})
}

func TestRecorderSaysWhenTheDiskDoesNotAnswer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		disk := newFaultyDisk()
		r, err := CreateOn(disk, t.TempDir(), testHeader())
		if err != nil {
			t.Fatal(err)
		}
		synctest.Wait()
		disk.set(func(d *faultyDisk) { d.syncTime = time.Minute })
		record(r, 0, 100, 10)
		s := r.Status()
		if s.Err == nil || !errors.Is(s.Err, errStuck) {
			t.Errorf("ten seconds into a sync: %v", s.Err)
		}
		if err := r.Close(Summary{}); err == nil || !strings.Contains(err.Error(), "are not saved") {
			t.Errorf("Close on a stuck disk: %v", err)
		}
		disk.set(func(d *faultyDisk) { d.syncTime = 0 })
		time.Sleep(2 * time.Minute) // the writer ends by itself
	})
}

// An hour without room at 10 Hz is kept in memory, the rest is counted, and
// all that was kept is written when room returns.
func TestRecorderOutlastsAFullDisk(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		disk := newFaultyDisk()
		r, err := CreateOn(disk, t.TempDir(), testHeader())
		if err != nil {
			t.Fatal(err)
		}
		want := record(r, 0, 50, 10)
		synctest.Wait()
		disk.set(func(d *faultyDisk) { d.room = 1000 }) // and the write that hits it is cut short
		want = append(want, record(r, 50, keepReadings, 10)...)
		s := r.Status()
		if s.Err == nil || !strings.Contains(s.Err.Error(), "the disk is full") {
			t.Errorf("status of a full disk: %v", s.Err)
		}
		mark := plateau.Input{Kind: plateau.Marked, At: want[len(want)-1].At, Mark: plateau.MarkPull}
		over := 500
		record(r, len(want), over, 10)
		r.Input(mark)
		want = append(want, mark)
		lost := r.Status().Lost
		if lost == 0 || lost > over {
			t.Errorf("%d readings lost, want 1 to %d", lost, over)
		}
		disk.set(func(d *faultyDisk) { d.room = -1 })
		time.Sleep(3 * time.Second)
		if s := r.Status(); s.Err != nil || s.Kept != 0 {
			t.Errorf("after room returned: %+v", s)
		}
		if err := r.Close(Summary{}); err != nil {
			t.Fatal(err)
		}
		got := mustRead(t, r.Path())
		checkPrefix(t, got, want, over-lost)
	})
}

// checkPrefix checks that the file holds want but for readings that the
// recorder says are lost, of which late found room after all.
func checkPrefix(t *testing.T, s *Session, want []plateau.Input, late int) {
	t.Helper()
	got := slices.Collect(s.Inputs())
	if len(got) != len(want)+late {
		t.Errorf("file holds %d inputs, want %d", len(got), len(want)+late)
	}
	if !slices.Equal(got[:len(want)-1], want[:len(want)-1]) || got[len(got)-1] != want[len(want)-1] {
		t.Error("what was kept is not what was recorded")
	}
	said := 0
	for _, rec := range s.Records {
		if rec.Kind == LostRecord {
			said += rec.Count
		}
	}
	if said != 500-late {
		t.Errorf("file tells of %d lost readings, want %d", said, 500-late)
	}
}

func TestRecorderFaults(t *testing.T) {
	tests := []struct {
		name string
		set  func(d *faultyDisk)
		say  string
	}{
		{"short writes", func(d *faultyDisk) { d.short = 7 }, ""},
		{"no room at once", func(d *faultyDisk) { d.room = 0 }, "the disk is full"},
		{"no room in a line", func(d *faultyDisk) { d.room = 33 }, "the disk is full"},
		{"input/output error", func(d *faultyDisk) { d.writeErr = syscall.EIO }, "input/output error"},
		{"read-only", func(d *faultyDisk) { d.writeErr = syscall.EROFS }, "the disk is read-only"},
		{"failed sync", func(d *faultyDisk) { d.syncErr = syscall.EIO }, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				disk := newFaultyDisk()
				r, err := CreateOn(disk, t.TempDir(), testHeader())
				if err != nil {
					t.Fatal(err)
				}
				want := record(r, 0, 25, 10)
				disk.set(tt.set)
				want = append(want, record(r, 25, 45, 10)...)
				if s := r.Status(); tt.say != "" && (s.Err == nil || !strings.Contains(s.Err.Error(), tt.say)) {
					t.Errorf("status %v, want %q", s.Err, tt.say)
				}
				disk.set(func(d *faultyDisk) { d.short, d.room, d.writeErr = 0, -1, nil })
				want = append(want, record(r, 70, 30, 10)...)
				if s := r.Status(); s.Err != nil {
					t.Errorf("still in trouble: %v", s.Err)
				}
				if err := r.Close(Summary{}); err != nil {
					t.Fatal(err)
				}
				checkInputs(t, mustRead(t, r.Path()), want)
			})
		})
	}
}

// Whatever the disk held when the power went, a line reported as synced is in it.
func TestEveryWriteBoundaryOpens(t *testing.T) {
	for writes := range 40 {
		synctest.Test(t, func(t *testing.T) {
			disk := newFaultyDisk()
			disk.short = 37
			r, err := CreateOn(disk, t.TempDir(), testHeader())
			if err != nil {
				t.Fatal(err)
			}
			for i := 0; ; i++ {
				record(r, i, 1, 10)
				disk.mu.Lock()
				n := disk.writes
				disk.mu.Unlock()
				if n > 20+writes {
					break
				}
			}
			acked := r.Status().Synced
			file, err := os.ReadFile(r.Path())
			if err != nil {
				t.Fatal(err)
			}
			s, err := Decode(strings.NewReader(string(file)))
			if err != nil {
				t.Fatal(err)
			}
			if got := len(s.Records) + 1; got < acked || len(s.Damage) > 0 {
				t.Errorf("%d lines in the file, %d were called synced, damage %v", got, acked, s.Damage)
			}
			r.Leave()
		})
	}
}

func TestRecorderStartsWithoutADisk(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		disk := newFaultyDisk()
		disk.createErr = syscall.EROFS
		dir := t.TempDir()
		if _, err := CreateOn(disk, dir, testHeader()); err == nil {
			t.Error("Create did not fail on a read-only disk")
		}
		r, err := CreateAnywayOn(disk, dir, testHeader())
		if err != nil {
			t.Fatal(err)
		}
		if s := r.Status(); s.Err == nil || !strings.Contains(s.Err.Error(), "read-only") {
			t.Errorf("status %v", s.Err)
		}
		want := record(r, 0, 50, 10)
		disk.set(func(d *faultyDisk) { d.createErr = nil })
		want = append(want, record(r, 50, 50, 10)...)
		if err := r.Close(Summary{}); err != nil {
			t.Fatal(err)
		}
		checkInputs(t, mustRead(t, r.Path()), want)
	})
}

func TestRecorderWhoseFileVanishes(t *testing.T) {
	if os.PathSeparator == '\\' {
		t.Skip("an open file cannot be moved here")
	}
	tests := []struct {
		name    string
		vanish  func(dir, path string) error
		comeAgo func(dir, path string) error
	}{
		{"folder moved away and back",
			func(dir, _ string) error { return os.Rename(dir, dir+".away") },
			func(dir, _ string) error { return os.Rename(dir+".away", dir) }},
		{"file deleted",
			func(_, path string) error { return os.Remove(path) },
			func(_, _ string) error { return nil }},
		{"folder deleted and made again",
			func(dir, _ string) error { return os.RemoveAll(dir) },
			func(dir, _ string) error { return os.Mkdir(dir, 0o700) }},
		{"another copy put in its place",
			func(dir, path string) error {
				return errors.Join(os.Rename(dir, dir+".away"), copyFile(dir+".copy", filepath.Join(dir+".away", filepath.Base(path))))
			},
			func(dir, path string) error {
				return errors.Join(os.Mkdir(dir, 0o700), os.Rename(dir+".copy", path))
			}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				dir := filepath.Join(t.TempDir(), "batches")
				r, err := Create(dir, testHeader())
				if err != nil {
					t.Fatal(err)
				}
				want := record(r, 0, 35, 10)
				if err := tt.vanish(dir, r.Path()); err != nil {
					t.Fatal(err)
				}
				want = append(want, record(r, 35, 40, 10)...)
				if s := r.Status(); s.Err == nil && tt.name != "file deleted" {
					t.Error("the status says nothing while the folder is away")
				}
				if err := tt.comeAgo(dir, r.Path()); err != nil {
					t.Fatal(err)
				}
				want = append(want, record(r, 75, 40, 10)...)
				if s := r.Status(); s.Err != nil || s.Unsynced > 2*time.Second {
					t.Errorf("after its return: %+v", s)
				}
				if err := r.Close(Summary{}); err != nil {
					t.Fatal(err)
				}
				checkInputs(t, mustRead(t, r.Path()), want)
			})
		})
	}
}

func TestTwoRecordersOnOneFileAreRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		dir := t.TempDir()
		r, err := Create(dir, testHeader())
		if err != nil {
			t.Fatal(err)
		}
		defer r.Leave()
		r.Flush(time.Minute)
		if _, _, err := Continue(r.Path()); !errors.Is(err, ErrLocked) {
			t.Errorf("Continue on a file that is being recorded: %v", err)
		}
		if err := Amend(r.Path(), Amendment{}); !errors.Is(err, ErrLocked) {
			t.Errorf("Amend on a file that is being recorded: %v", err)
		}
		second, err := Create(dir, testHeader()) // the same second: another name
		if err != nil {
			t.Fatal(err)
		}
		defer second.Leave()
		if second.Path() == r.Path() || filepath.Base(second.Path()) != "2026-10-03T05-45-12Z-2.jsonl" {
			t.Errorf("second batch is recorded in %s", second.Path())
		}
	})
}

func TestContinueGoesOnAsTheSameBatch(t *testing.T) {
	for _, tt := range []struct {
		name string
		tail string
	}{
		{"after a clean stop", ""},
		{"after a torn line", `{"k":"reading","t":5.1,"c":2`},
		{"after a zero-filled tail", "\x00\x00\x00\x00\x00\x00"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				h := testHeader()
				h.Start = time.Now()
				r, err := Create(t.TempDir(), h)
				if err != nil {
					t.Fatal(err)
				}
				want := record(r, 0, 50, 10)
				if err := r.Leave(); err != nil {
					t.Fatal(err)
				}
				appendTo(t, r.Path(), tt.tail)
				time.Sleep(3 * time.Minute)
				s, again, err := Continue(r.Path())
				if err != nil {
					t.Fatal(err)
				}
				resumed := plateau.Input{Kind: plateau.Resumed, At: 185 * time.Second}
				want = append(want, resumed)
				checkInputs(t, s, want)
				if s.Torn != (tt.tail != "") {
					t.Errorf("torn is %v", s.Torn)
				}
				want = append(want, record(again, 1900, 20, 10)...)
				if err := again.Close(Summary{}); err != nil {
					t.Fatal(err)
				}
				s = mustRead(t, r.Path())
				checkInputs(t, s, want)
				if !s.Closed {
					t.Error("not closed")
				}
			})
		})
	}
}

func TestContinueRefusesAnOldBatch(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := testHeader()
		h.Start = time.Now()
		r, err := Create(t.TempDir(), h)
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Leave(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(13 * time.Hour)
		if _, _, err := Continue(r.Path()); !errors.Is(err, ErrStale) {
			t.Errorf("after thirteen hours: %v", err)
		}
	})
}

// A wall clock that was set back since places the gap at the end of what is
// recorded; one set on makes the gap longer; neither turns time round.
func TestContinueAfterTheClockWasSet(t *testing.T) {
	for set, want := range map[time.Duration]time.Duration{
		-3 * time.Hour: 4900 * time.Millisecond, // the last reading
		0:              65 * time.Second,
		time.Hour:      65*time.Second + time.Hour,
	} {
		synctest.Test(t, func(t *testing.T) {
			h := testHeader()
			h.Start = time.Now().Add(-set) // what the clock now calls the beginning
			r, err := Create(t.TempDir(), h)
			if err != nil {
				t.Fatal(err)
			}
			record(r, 0, 50, 10)
			if err := r.Leave(); err != nil {
				t.Fatal(err)
			}
			time.Sleep(time.Minute)
			s, again, err := Continue(r.Path())
			if err != nil {
				t.Fatal(err)
			}
			if got := s.End(); got != want {
				t.Errorf("clock set by %v: the batch goes on at %v, want %v", set, got, want)
			}
			if err := again.Leave(); err != nil {
				t.Fatal(err)
			}
		})
	}
}

func appendTo(t *testing.T, path, tail string) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteString(tail); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

func BenchmarkRecorderInput(b *testing.B) {
	r, err := Create(b.TempDir(), testHeader())
	if err != nil {
		b.Fatal(err)
	}
	defer r.Leave()
	b.ReportAllocs()
	for i := range b.N {
		r.Input(plateau.Input{Kind: plateau.Measured, At: time.Duration(i) * time.Millisecond, C: 104.123})
		if i%10_000 == 0 {
			r.Flush(time.Minute)
		}
	}
}
