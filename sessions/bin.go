package sessions

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// binName is the folder inside a shelf that holds what was deleted.
const binName = "bin"

// Discard moves a session from the shelf in dir to its bin and returns the
// name that [Restore] takes. A session that is being recorded stays.
func Discard(dir, name string) (binned string, err error) {
	if err := checkName(name); err != nil {
		return "", err
	}
	path := filepath.Join(dir, name)
	if err := notRecording(path); err != nil {
		return "", troubleAt("deleting", path, err)
	}
	bin := filepath.Join(dir, binName)
	if err := os.MkdirAll(bin, 0o700); err != nil {
		return "", troubleAt("making the bin", bin, err)
	}
	binned, err = moveTo(bin, path)
	if err != nil {
		return "", troubleAt("deleting", path, err)
	}
	return binned, nil
}

// Restore moves a session from the bin back to the shelf, under its name or,
// when that is taken, one beside it, and returns that name.
func Restore(dir, binned string) (name string, err error) {
	if err := checkName(binned); err != nil {
		return "", err
	}
	path := filepath.Join(dir, binName, binned)
	if name, err = moveTo(dir, path); err != nil {
		return "", troubleAt("bringing back", path, err)
	}
	return name, nil
}

// Bin lists what was deleted, the newest first.
func Bin(dir string) ([]Entry, error) { return List(filepath.Join(dir, binName)) }

// checkName takes plain session names alone, so that nothing said on a screen
// or in a file leads out of the folder.
func checkName(name string) error {
	if !isName(name) || filepath.Base(name) != name || !filepath.IsLocal(name) {
		return fmt.Errorf("%q is %w", clean(name, 100), errName)
	}
	return nil
}

func notRecording(path string) error {
	info, err := os.Lstat(path)
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return errName
	}
	f, err := osDisk{}.Append(path)
	if errors.Is(err, fs.ErrPermission) {
		return nil // nobody can be recording what cannot be written
	}
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Lock()
}

// moveTo moves a file to a folder without replacing one that is there.
func moveTo(dir, path string) (string, error) {
	base := filepath.Base(path)
	stem := base[:len(base)-len(Ext)]
	for n := range 1000 {
		name := base
		if n > 0 {
			name = fmt.Sprintf("%s-%d%s", stem, n+1, Ext)
		}
		to := filepath.Join(dir, name)
		if _, err := os.Lstat(to); err == nil {
			continue
		}
		return name, os.Rename(path, to)
	}
	return "", fs.ErrExist
}
