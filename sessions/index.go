package sessions

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
)

// The index caches the entries of a folder: a first line with the version of
// what an entry holds, then one entry a line. It can be deleted at any time.
const (
	indexName    = "shelf.index"
	indexVersion = `{"index of":"boildown sessions","v":3}`
)

// readIndex returns the entries by name, none when the index is missing, of
// another version or not readable; a line that is damaged costs only itself.
func readIndex(dir string) map[string]Entry {
	known := map[string]Entry{}
	file, err := os.ReadFile(filepath.Join(dir, indexName))
	if err != nil {
		return known
	}
	head, rest, _ := bytes.Cut(file, []byte{'\n'})
	if string(head) != indexVersion {
		return known
	}
	for len(rest) > 0 {
		var line []byte
		line, rest, _ = bytes.Cut(rest, []byte{'\n'})
		var e Entry
		if json.Unmarshal(line, &e) == nil {
			known[e.Name] = e
		}
	}
	return known
}

// writeIndex replaces the index. A folder that cannot be written to goes
// without one.
func writeIndex(dir string, entries []Entry) {
	tmp, err := os.CreateTemp(dir, ".index-*")
	if err != nil {
		return
	}
	defer os.Remove(tmp.Name())
	out := bufio.NewWriter(tmp)
	out.WriteString(indexVersion + "\n")
	enc := json.NewEncoder(out)
	for _, e := range entries {
		if err := enc.Encode(e); err != nil {
			tmp.Close()
			return
		}
	}
	if errors.Join(out.Flush(), tmp.Close()) == nil {
		os.Rename(tmp.Name(), filepath.Join(dir, indexName))
	}
}
