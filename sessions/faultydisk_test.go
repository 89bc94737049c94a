package sessions

import (
	"io/fs"
	"os"
	"sync"
	"syscall"
	"time"
)

// faultyDisk is the real disk with faults to order. Its fields are set under mu.
type faultyDisk struct {
	osDisk
	mu        sync.Mutex
	writeErr  error         // every write fails
	short     int           // a write takes at most so many bytes and says nothing
	room      int           // bytes until ENOSPC; negative for no bound
	syncErr   error         // the next sync fails and forgets what was not synced
	syncTime  time.Duration // how long a sync takes
	createErr error
	writes    int // calls of Write that took at least a byte
}

func newFaultyDisk() *faultyDisk { return &faultyDisk{room: -1} }

func (d *faultyDisk) set(change func(d *faultyDisk)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	change(d)
}

func (d *faultyDisk) MkdirAll(dir string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.createErr != nil {
		return &fs.PathError{Op: "mkdir", Path: dir, Err: d.createErr}
	}
	return d.osDisk.MkdirAll(dir)
}

func (d *faultyDisk) Create(path string) (File, error) {
	f, err := d.osDisk.Create(path)
	return d.wrap(f, err)
}

func (d *faultyDisk) Append(path string) (File, error) {
	f, err := d.osDisk.Append(path)
	return d.wrap(f, err)
}

func (d *faultyDisk) wrap(f File, err error) (File, error) {
	if err != nil {
		return nil, err
	}
	return &faultyFile{File: f, d: d}, nil
}

type faultyFile struct {
	File
	d      *faultyDisk
	synced int64
}

func (f *faultyFile) Write(b []byte) (int, error) {
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	if f.d.writeErr != nil {
		return 0, &fs.PathError{Op: "write", Path: "session", Err: f.d.writeErr}
	}
	var err error
	if f.d.short > 0 && len(b) > f.d.short {
		b = b[:f.d.short]
	}
	if f.d.room >= 0 && len(b) > f.d.room {
		b, err = b[:f.d.room], &fs.PathError{Op: "write", Path: "session", Err: syscall.ENOSPC}
	}
	n, werr := f.File.Write(b)
	if f.d.room >= 0 {
		f.d.room -= n
	}
	if n > 0 {
		f.d.writes++
	}
	if werr != nil {
		err = werr
	}
	return n, err
}

// Sync fails as a kernel does: what was not synced is gone, and the next sync
// says that all is well.
func (f *faultyFile) Sync() error {
	f.d.mu.Lock()
	err, slow := f.d.syncErr, f.d.syncTime
	f.d.syncErr = nil
	f.d.mu.Unlock()
	if slow > 0 {
		time.Sleep(slow)
	}
	if err != nil {
		if info, statErr := f.Stat(); statErr == nil && info.Size() > f.synced {
			zeros := make([]byte, info.Size()-f.synced)
			if w, openErr := os.OpenFile(f.File.(osFile).Name(), os.O_WRONLY, 0); openErr == nil {
				w.WriteAt(zeros, f.synced)
				w.Close()
			}
		}
		return &fs.PathError{Op: "sync", Path: "session", Err: err}
	}
	if info, err := f.Stat(); err == nil {
		f.synced = info.Size()
	}
	return f.File.Sync()
}
