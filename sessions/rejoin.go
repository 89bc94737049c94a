package sessions

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
)

// present makes sure that w.f is the file that the path leads to. A folder
// that was moved away and back, a drive that was pulled and put in again and
// a file that was deleted under the recorder all end here.
func (w *writer) present() error {
	r := w.r
	if w.f == nil {
		return w.create()
	}
	there, err := r.disk.Stat(r.path)
	if err == nil {
		ours, statErr := w.f.Stat()
		if statErr == nil && os.SameFile(there, ours) {
			return nil
		}
		return w.rejoin()
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if _, err := r.disk.Stat(r.dir); err != nil {
		return errVanished // the folder: it may be a drive, so none is made in its place
	}
	return w.recreate()
}

// create makes the file that could not be made at the start.
func (w *writer) create() error {
	h, _, err := parseHeader(bytes.TrimSuffix(w.r.head, []byte{'\n'}))
	if err != nil {
		return err
	}
	f, path, err := createFile(w.r.disk, w.r.dir, h.Start)
	if err != nil {
		return err
	}
	w.f = f
	w.r.mu.Lock()
	w.r.path = path
	w.r.mu.Unlock()
	return nil
}

// rejoin goes on in the file that came back under the path: the same drive
// put in again, which holds what was synced and perhaps more. Only if it is
// not this batch's file is it left alone.
func (w *writer) rejoin() error {
	f, err := w.r.disk.Append(w.r.path)
	if err != nil {
		return err
	}
	size, err := w.matches(f)
	if err != nil {
		f.Close()
		return err
	}
	want := w.synced + w.shift
	if size < want && copyRange(f, w.f, size, want) == nil {
		size = want
	}
	if size < want { // the drive lost what it had called safe: go on behind it
		if _, err := f.Write([]byte{'\n'}); err != nil {
			f.Close()
			return err
		}
		w.shift = size + 1 - w.synced
	}
	w.f.Close()
	w.f, w.rewind = f, true // from the last safe byte on, all is written again
	return nil
}

// matches locks f, reports its size and fails unless it begins with this
// batch's header.
func (w *writer) matches(f File) (int64, error) {
	if err := f.Lock(); err != nil {
		return 0, err
	}
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	head := make([]byte, min(int64(len(w.r.head)), info.Size()))
	if _, err := f.ReadAt(head, 0); err != nil && !errors.Is(err, io.EOF) {
		return 0, err
	}
	if !bytes.Equal(head, w.r.head) {
		return 0, &Trouble{Words: "recording to " + clean(w.r.path, 400) + ": another file has taken its place", Remedy: "move that file away, and recording goes on by itself", Err: fs.ErrExist}
	}
	return info.Size(), nil
}

// recreate writes the batch anew when its file was deleted: the open file
// still holds what was synced.
func (w *writer) recreate() error {
	f, err := w.r.disk.Create(w.r.path)
	if err != nil {
		return err
	}
	if err := f.Lock(); err != nil {
		f.Close()
		return err
	}
	if err := copyRange(f, w.f, 0, w.synced+w.shift); err != nil {
		f.Close()
		return err
	}
	w.f.Close()
	w.f, w.at, w.rewind = f, w.synced, false
	return w.r.disk.SyncDir(w.r.dir)
}

// copyRange appends the bytes from..to of src to dst and syncs them.
func copyRange(dst, src File, from, to int64) error {
	if _, err := io.Copy(dst, io.NewSectionReader(src, from, to-from)); err != nil {
		return err
	}
	return dst.Sync()
}
