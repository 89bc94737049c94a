package sessions

import (
	"io"
	"io/fs"
	"os"
)

// Disk is what a recorder needs of a file system. Tests put a failing one in
// its place.
type Disk interface {
	MkdirAll(dir string) error             // folders readable by their owner alone
	Create(path string) (File, error)      // a new file to append to, an error when there is one
	Append(path string) (File, error)      // an existing file to append to
	Stat(path string) (fs.FileInfo, error) // as [os.Stat]
	SyncDir(dir string) error              // makes a new name in dir last
}

// File is an open session file. Writes go to its end.
type File interface {
	io.Writer
	io.ReaderAt
	io.Closer
	Sync() error
	Truncate(size int64) error
	Stat() (fs.FileInfo, error)
	Lock() error // keeps a second recorder out until Close; [ErrLocked] when there is one
}

type osDisk struct{}

// OnDisk returns the disk that recorders use unless they are given another.
func OnDisk() Disk { return osDisk{} }

type osFile struct{ *os.File }

func (osDisk) MkdirAll(dir string) error { return os.MkdirAll(dir, 0o700) }

func (osDisk) Create(path string) (File, error) {
	return openFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE|os.O_EXCL)
}

func (osDisk) Append(path string) (File, error) { return openFile(path, os.O_RDWR|os.O_APPEND) }

func (osDisk) Stat(path string) (fs.FileInfo, error) { return os.Stat(path) }

func (osDisk) SyncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	// Some systems cannot sync a folder; the file itself is synced all the same.
	_ = d.Sync()
	return nil
}

func openFile(path string, flags int) (File, error) {
	f, err := os.OpenFile(path, flags, 0o600)
	if err != nil {
		return nil, err
	}
	return osFile{f}, nil
}

func (f osFile) Lock() error { return lockFile(f.File) }
