package sessions

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"boildown/plateau"
)

// Continue opens a session to record on as the same batch, after a crash or a
// stop. The session holds all that was recorded and, as its last record, the
// resumption at the batch's present time by the wall clock: step its inputs,
// and let the batch's clock run on from [Session.End]. The gap is marked in
// the file. A torn last line is left as it is and costs nothing else.
//
// Its errors are those of [Read], [ErrLocked] while another program records
// the session, and [ErrStale] for one that began more than half a day ago.
func Continue(path string) (*Session, *Recorder, error) { return ContinueOn(osDisk{}, path) }

// ContinueOn is [Continue] on a given disk.
func ContinueOn(disk Disk, path string) (*Session, *Recorder, error) {
	f, err := disk.Append(path)
	if err != nil {
		return nil, nil, troubleAt("opening", path, err)
	}
	s, r, err := resume(disk, f, path)
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	return s, r, nil
}

func resume(disk Disk, f File, path string) (*Session, *Recorder, error) {
	if err := f.Lock(); err != nil {
		return nil, nil, troubleAt("opening", path, err)
	}
	info, err := f.Stat()
	if err != nil {
		return nil, nil, troubleAt("opening", path, err)
	}
	s, err := Decode(io.NewSectionReader(f, 0, info.Size()))
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", clean(path, 400), err)
	}
	s.Path = path
	in := plateau.Input{Kind: plateau.Resumed, At: resumeAt(s)}
	if in.At-s.End() > continueMost {
		return nil, nil, fmt.Errorf("%s: %w", clean(path, 400), ErrStale)
	}
	end, err := endsLine(f)
	if err != nil {
		return nil, nil, troubleAt("reading", path, err)
	}
	head, err := headOf(f, info.Size())
	if err != nil {
		return nil, nil, troubleAt("reading", path, err)
	}
	r := newRecorder(disk, filepath.Dir(path), path, head)
	r.base = info.Size()
	if !end { // the torn line must not swallow the next one
		r.buf = append(r.buf, '\n')
	}
	s.take(Record{At: in.At, Input: in})
	r.add(appendInput(nil, in), false, true)
	w := &writer{r: r, f: f, at: r.base, synced: r.base}
	go w.run()
	return s, r, nil
}

// continueMost is the longest gap inside a batch: no pot boils on that long, so
// an older session was named by mistake.
const continueMost = 12 * time.Hour

// resumeAt returns the batch's present time: the wall clock's, since the pot
// went on boiling, but never earlier than what is recorded.
func resumeAt(s *Session) time.Duration {
	end := s.End()
	if s.Header.Start.IsZero() {
		return end
	}
	return max(end, roundTime(time.Since(s.Header.Start)))
}

// headOf returns the first line of f, by which the recorder knows its file.
func headOf(f File, size int64) ([]byte, error) {
	head := make([]byte, min(size, maxLine))
	n, err := f.ReadAt(head, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	head = head[:n]
	if i := bytes.IndexByte(head, '\n'); i >= 0 {
		head = head[:i+1]
	}
	return head, nil
}
