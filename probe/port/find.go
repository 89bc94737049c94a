package port

import (
	"fmt"
	"path/filepath"
)

// finder knows which device is wanted and where it is now. The device is a USB
// identity, given or remembered from the first time it was open; without one
// it is a path.
type finder struct {
	named string    // path or link as given
	id    *identity // nil while unknown
	given string    // the USB id as given, for messages
	list  func() ([]Found, error)
}

func newFinder(s Settings) (*finder, error) {
	f := &finder{named: s.Path, list: List}
	if s.USB != "" {
		id, err := parseIdentity(s.USB)
		if err != nil {
			return nil, err
		}
		f.id, f.given, f.named = &id, s.USB, ""
	}
	if f.named == "" && f.id == nil {
		return nil, fmt.Errorf("port: no port is named: give its path or its USB id; \"boildown probes\" lists them")
	}
	return f, nil
}

// path returns where the device is now.
func (f *finder) path() (string, error) {
	if f.id == nil {
		return f.named, nil
	}
	ports, err := f.list()
	if err != nil {
		return "", &Error{Op: "find", Path: f.name(), Kind: ErrOther, Cause: err}
	}
	var at []string
	for _, p := range ports {
		if f.id.matches(p) {
			at = append(at, p.Path)
		}
	}
	switch len(at) {
	case 0:
		return "", &Error{Op: "find", Path: f.name(), Kind: ErrNotFound}
	case 1:
		return at[0], nil
	}
	// Boards without a serial number look alike: the name given decides, if
	// one of them has it.
	for _, path := range at {
		if f.named != "" && samePath(path, f.named) {
			return path, nil
		}
	}
	return "", &Error{Op: "find", Path: f.name(), Kind: ErrAlike}
}

func (f *finder) name() string {
	if f.given != "" {
		return "USB device " + f.given
	}
	return "the probe of " + f.named
}

// opened remembers which device a path led to.
func (f *finder) opened(path string) {
	if f.id != nil {
		return
	}
	ports, err := f.list()
	if err != nil {
		return // the path alone has to do
	}
	for _, p := range ports {
		if !samePath(p.Path, path) {
			continue
		}
		if id, err := parseIdentity(p.USB); err == nil {
			f.id = &id
		}
		return
	}
}

// samePath reports whether two names lead to the same node.
func samePath(a, b string) bool {
	if a == b {
		return true
	}
	ra, errA := filepath.EvalSymlinks(a)
	rb, errB := filepath.EvalSymlinks(b)
	return errA == nil && errB == nil && ra == rb
}
