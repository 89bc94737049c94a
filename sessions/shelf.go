package sessions

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"boildown/probe"
)

// List returns the sessions in dir, the newest first. A file that cannot be
// opened is an entry with Trouble and hides no other. A folder that does not
// exist holds none. What is known of files that have not changed comes from
// the folder's index, which List mends when it can; nothing is kept only there.
func List(dir string) ([]Entry, error) {
	var known map[string]Entry
	index := probe.Send(func() error {
		known = readIndex(dir)
		return nil
	})
	files, err := sessionFiles(dir)
	index.Wait()
	if err != nil {
		return nil, troubleAt("listing", dir, err)
	}
	entries := make([]Entry, len(files))
	var stale []int
	for i, f := range files {
		e, ok := known[f.name]
		if !ok || e.Size != f.size || !e.Modified.Equal(f.modified) {
			stale = append(stale, i)
			continue
		}
		entries[i] = e
	}
	lookAtAll(dir, files, entries, stale)
	if len(stale) > 0 || len(known) != len(files) {
		writeIndex(dir, entries)
	}
	for i, f := range files {
		entries[i].Name, entries[i].Path = f.name, filepath.Join(dir, f.name)
	}
	slices.SortStableFunc(entries, newestFirst)
	return entries, nil
}

type sessionFile struct {
	name     string
	size     int64
	modified time.Time
}

func sessionFiles(dir string) ([]sessionFile, error) {
	names, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	files := make([]sessionFile, 0, len(names))
	for _, n := range names {
		if !isName(n.Name()) || n.IsDir() {
			continue
		}
		info, err := n.Info()
		if err != nil || !info.Mode().IsRegular() { // gone meanwhile, or a pipe or a link to elsewhere
			continue
		}
		files = append(files, sessionFile{n.Name(), info.Size(), info.ModTime()})
	}
	return files, nil
}

// lookAtAll fills the entries of the stale files, on all cores.
func lookAtAll(dir string, files []sessionFile, entries []Entry, stale []int) {
	onAllCores(len(stale), func(n int) {
		i := stale[n]
		e := look(filepath.Join(dir, files[i].name))
		e.Name, e.Size, e.Modified = files[i].name, files[i].size, files[i].modified
		entries[i] = e
	})
}

// onAllCores calls f with each number from 0 to n-1, several at a time, and
// waits. A panic of f's goes on in the caller.
func onAllCores(n int, f func(i int)) {
	var next atomic.Int64
	var all []*probe.Errand
	for range min(runtime.GOMAXPROCS(0), n) {
		all = append(all, probe.Send(func() error {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(i)
			}
			return nil
		}))
	}
	probe.WaitAll(all)
}

func newestFirst(a, b Entry) int {
	if c := b.when().Compare(a.when()); c != 0 {
		return c
	}
	return strings.Compare(b.Name, a.Name)
}

// when orders a file whose start cannot be read by its last change.
func (e Entry) when() time.Time {
	if e.Start.IsZero() {
		return e.Modified
	}
	return e.Start
}

// Find returns the session that a person means: "last" for the newest, a
// path, a file name in dir, or the beginning of one that fits only one.
func Find(dir, what string) (Entry, error) {
	if strings.ContainsRune(what, os.PathSeparator) || strings.ContainsRune(what, '/') {
		return entryAt(what)
	}
	entries, err := List(dir)
	if err != nil {
		return Entry{}, err
	}
	if what == "last" {
		if len(entries) == 0 {
			return Entry{}, fmt.Errorf("there is no session in %s yet", clean(dir, 400))
		}
		return entries[0], nil
	}
	var fits []Entry
	for _, e := range entries {
		if e.Name == what || strings.TrimSuffix(e.Name, Ext) == what {
			return e, nil
		}
		if what != "" && strings.HasPrefix(e.Name, what) {
			fits = append(fits, e)
		}
	}
	switch len(fits) {
	case 1:
		return fits[0], nil
	case 0:
		if e, err := entryAt(what); err == nil {
			return e, nil
		}
		return Entry{}, fmt.Errorf("no session %q in %s: boildown sessions lists them", clean(what, 100), clean(dir, 400))
	}
	return Entry{}, fmt.Errorf("%d sessions begin with %q: give more of the name", len(fits), clean(what, 100))
}

func entryAt(path string) (Entry, error) {
	info, err := os.Stat(path)
	if err != nil {
		return Entry{}, troubleAt("opening", path, err)
	}
	e := look(path)
	e.Name, e.Size, e.Modified, e.Path = filepath.Base(path), info.Size(), info.ModTime(), path
	return e, nil
}
