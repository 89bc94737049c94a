package sessions

import (
	"errors"
	"fmt"
	"io/fs"
)

// Trouble is an error of the disk in a cook's words, with what to do about it.
type Trouble struct {
	Words  string // what happened to what
	Remedy string // what to do next
	Err    error  // the cause
}

func (t *Trouble) Error() string {
	if t.Remedy == "" {
		return t.Words
	}
	return t.Words + ": " + t.Remedy
}

// Unwrap returns the cause.
func (t *Trouble) Unwrap() error { return t.Err }

// errVanished is the cause when a file's name no longer leads to it.
var errVanished = errors.New("the file is no longer there")

// errStuck is the cause when the disk takes a request and does not answer.
var errStuck = errors.New("the disk does not answer")

// troubleAt puts err, met while doing something to path, into words.
func troubleAt(doing, path string, err error) *Trouble {
	var t *Trouble
	if errors.As(err, &t) {
		return t
	}
	what, remedy := "", ""
	switch {
	case errors.Is(err, ErrLocked):
		what, remedy = "another program is recording it", "end that recording first"
	case isFull(err):
		what, remedy = "the disk is full", "delete something, and recording goes on by itself"
	case isReadOnly(err):
		what, remedy = "the disk is read-only", "make it writable or choose another folder with --dir"
	case errors.Is(err, fs.ErrPermission):
		what, remedy = "no permission", "make the folder yours or choose another with --dir"
	case errors.Is(err, errVanished), errors.Is(err, fs.ErrNotExist):
		what, remedy = "it is not there", "put the folder or the drive back, and recording goes on by itself"
	case errors.Is(err, errStuck):
		what, remedy = "the disk does not answer", "check the drive or the network share"
	case errors.Is(err, fs.ErrExist):
		what, remedy = "there is such a file already", "choose another name"
	default:
		what, remedy = reason(err), "check the drive"
	}
	return &Trouble{Words: fmt.Sprintf("%s %s: %s", doing, clean(path, 400), what), Remedy: remedy, Err: err}
}

// reason strips a path error down to its cause, since the path is said already.
func reason(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}
