package sessions

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// Repaired is what [Repair] did.
type Repaired struct {
	Kept   int      // whole lines in the repaired file
	Damage []Damage // what is not in it
	Old    string   // where the file as it was is kept; "" when nothing had to be done
}

// Repair writes a session anew without what cannot be read, and keeps the file
// as it was beside it, with ".broken" behind its name. Nothing needs it: every
// part of the program reads a damaged session as it is. A damaged header is
// not made up, so such a file is left alone with an error.
func Repair(path string) (Repaired, error) {
	f, err := osDisk{}.Append(path)
	if err != nil {
		return Repaired{}, troubleAt("opening", path, err)
	}
	defer f.Close()
	if err := f.Lock(); err != nil {
		return Repaired{}, troubleAt("opening", path, err)
	}
	info, err := f.Stat()
	if err != nil {
		return Repaired{}, troubleAt("opening", path, err)
	}
	rd, err := NewReader(io.NewSectionReader(f, 0, info.Size()))
	if err != nil {
		return Repaired{}, fmt.Errorf("%s: %w", clean(path, 400), err)
	}
	if !rd.sound {
		return Repaired{}, fmt.Errorf("%s: the first line is damaged, and what it said is not to be made up: the file is left as it is and opens all the same", clean(path, 400))
	}
	var whole bytes.Buffer
	kept, err := soundLines(&whole, rd)
	if err != nil {
		return Repaired{}, troubleAt("reading", path, err)
	}
	done := Repaired{Kept: kept, Damage: rd.Damage}
	if rd.Torn {
		done.Damage = append(done.Damage, Damage{Line: rd.line, Offset: rd.offset, Why: "cut short by a crash"})
	}
	if len(done.Damage) == 0 {
		return done, nil
	}
	done.Old, err = replaceFile(path, whole.Bytes())
	if err != nil {
		return Repaired{}, troubleAt("repairing", path, err)
	}
	return done, nil
}

// soundLines writes the header and every whole record again, as they were.
func soundLines(w io.Writer, rd *Reader) (int, error) {
	out := bufio.NewWriter(w)
	head, err := rd.Header.line()
	if err != nil {
		return 0, err
	}
	out.Write(head)
	n := 1
	rd.keep = func(line []byte) {
		out.Write(line)
		out.WriteByte('\n')
		n++
	}
	for range rd.Records() {
	}
	if rd.Err() != nil {
		return n, rd.Err()
	}
	return n, out.Flush()
}

// replaceFile puts data in path's place and returns where the old file went.
func replaceFile(path string, data []byte) (old string, err error) {
	dir := filepath.Dir(path)
	tmp, err := os.CreateTemp(dir, ".repair-*")
	if err != nil {
		return "", err
	}
	defer os.Remove(tmp.Name())
	_, err = tmp.Write(data)
	err = errors.Join(err, tmp.Sync(), tmp.Close())
	if err != nil {
		return "", err
	}
	for n := range 1000 {
		old = path + ".broken"
		if n > 0 {
			old = fmt.Sprintf("%s-%d", old, n+1)
		}
		if err = os.Link(path, old); err == nil {
			break
		}
		if !errors.Is(err, os.ErrExist) { // a file system without links
			if err = copyFile(old, path); err == nil {
				break
			}
		}
	}
	if err != nil {
		return "", err
	}
	if err := os.Rename(tmp.Name(), path); err != nil {
		return "", err
	}
	return old, osDisk{}.SyncDir(dir)
}

// copyFile copies from to a new file.
func copyFile(to, from string) error {
	src, err := os.Open(from)
	if err != nil {
		return err
	}
	defer src.Close()
	dst, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(dst, src)
	return errors.Join(err, dst.Sync(), dst.Close())
}
