//go:build unix

package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

// mortalDisk is a real folder whose power goes at the n-th write or sync: that
// one is half done, and all that follow fail.
type mortalDisk struct {
	sessions.Disk
	mu     sync.Mutex
	left   int
	synced int64
}

type mortalFile struct {
	sessions.File
	d *mortalDisk
}

func (d *mortalDisk) Create(path string) (sessions.File, error) {
	f, err := d.Disk.Create(path)
	if err != nil {
		return nil, err
	}
	return mortalFile{f, d}, nil
}

func (d *mortalDisk) Append(path string) (sessions.File, error) { return nil, syscall.EIO }

func (f mortalFile) Write(b []byte) (int, error) {
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	if f.d.left--; f.d.left < 0 {
		return 0, syscall.EIO
	}
	if f.d.left == 0 {
		n, _ := f.File.Write(b[:len(b)/2])
		return n, syscall.EIO
	}
	return f.File.Write(b)
}

func (f mortalFile) Sync() error {
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	if f.d.left--; f.d.left < 0 {
		return syscall.EIO
	}
	info, err := f.File.Stat()
	if err != nil {
		return err
	}
	f.d.synced = info.Size() // a power cut in the middle of it may have kept all
	if f.d.left == 0 {
		return syscall.EIO
	}
	return nil
}

func (f mortalFile) Truncate(n int64) error { return syscall.EIO }

// powerCuts cuts the power at each of the first n boundaries. What the disk may
// hold then is anything from the synced bytes to all that were written, with
// zeros or noise behind.
func powerCuts(t *testing.T, r *survivalRow, n int) {
	for cut := range n {
		synctest.Test(t, func(t *testing.T) {
			dir := t.TempDir()
			disk := &mortalDisk{Disk: sessions.OnDisk(), left: cut + 1}
			rec, err := sessions.CreateAnywayOn(disk, dir, sessions.Header{Start: time.Now(), Config: freshConfig(), Fold: plateau.Version})
			if err != nil {
				t.Fatal(err)
			}
			for i := range cut + 20 {
				rec.Input(plateau.Input{Kind: plateau.Measured, At: time.Duration(i) * 100 * time.Millisecond, C: probe.Celsius(counted(i))})
				time.Sleep(100 * time.Millisecond)
			}
			acked := max(rec.Status().Synced-1, 0) // without the header
			image, err := os.ReadFile(rec.Path())
			if err != nil {
				t.Fatal(err)
			}
			rec.Leave()
			time.Sleep(time.Minute) // of the bubble: the writer gives up by itself
			for name, tail := range tails(image[disk.synced:]) {
				whole := append(bytes.Clone(image[:disk.synced]), tail...)
				path := filepath.Join(t.TempDir(), "after.jsonl")
				if err := os.WriteFile(path, whole, 0o600); err != nil {
					t.Fatal(err)
				}
				s, again, err := sessions.Continue(path)
				if err != nil {
					if acked > 0 {
						t.Errorf("cut %d, %s: %v", cut, name, err)
					}
					r.count(acked == 0, 0, acked)
					continue
				}
				closed := again.Close(sessions.Summary{})
				ok := resumedIn(s) && closed == nil && replays(s)
				if !ok {
					t.Errorf("cut %d, %s: resumed %v, closing: %v", cut, name, resumedIn(s), closed)
				}
				r.count(ok, acked, missing(s, acked))
			}
		})
	}
}

// tails are what may stand behind the synced bytes.
func tails(written []byte) map[string][]byte {
	noise := bytes.Clone(written)
	for i := range noise {
		noise[i] = byte(rand.Uint32())
	}
	return map[string][]byte{
		"nothing": nil, "all": written, "half": written[:len(written)/2],
		"zeros": make([]byte, len(written)), "noise": noise,
	}
}

// damage changes a file from or at a byte and returns it with the range of
// bytes that may be lost.
type damage func(file []byte, at int) (out []byte, from, to int)

func torn(b []byte, at int) ([]byte, int, int) { return b[:at], at, len(b) }

func zeroed(b []byte, at int) ([]byte, int, int) {
	return append(b[:at], make([]byte, len(b)-at)...), at, len(b)
}

func noisy(b []byte, at int) ([]byte, int, int) {
	for i := at; i < len(b); i++ {
		b[i] = byte(rand.Uint32())
	}
	return b, at, len(b)
}

func flipped(b []byte, at int) ([]byte, int, int) {
	b[at] ^= 1 << rand.IntN(8)
	return b, at, at + 1
}

// damaged damages a record behind its first line and counts the readings lost
// from lines that were not touched.
func damaged(how damage) func(t *testing.T, r *survivalRow, n int) {
	const readings = 300
	return func(t *testing.T, r *survivalRow, n int) {
		rec, err := sessions.Create(t.TempDir(), sessions.Header{Start: time.Now(), Config: freshConfig(), Fold: plateau.Version})
		if err != nil {
			t.Fatal(err)
		}
		for i := range readings {
			rec.Input(plateau.Input{Kind: plateau.Measured, At: time.Duration(i) * 100 * time.Millisecond, C: probe.Celsius(counted(i))})
		}
		if err := rec.Leave(); err != nil {
			t.Fatal(err)
		}
		file, err := os.ReadFile(rec.Path())
		if err != nil {
			t.Fatal(err)
		}
		head := bytes.IndexByte(file, '\n') + 1
		for range n {
			b, from, to := how(bytes.Clone(file), head+rand.IntN(len(file)-head))
			touched := bytes.Count(file[from:to], []byte("\n")) + 1 // lines
			if from < to && to < len(file) && file[from] == '\n' {
				touched++ // two lines have become one
			}
			s, err := sessions.Decode(bytes.NewReader(b))
			if err != nil {
				t.Errorf("damaged at %d: %v", from, err)
				r.count(false, readings, readings)
				continue
			}
			untouched := max(readings-touched, 0)
			r.count(true, untouched, max(missing(s, readings)-(readings-untouched), 0))
		}
	}
}
