package sessions

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"runtime"
)

// The index caches the entries of a folder: a first line with the version of
// what an entry holds, then one entry a line. It can be deleted at any time.
const (
	indexName    = "shelf.index"
	indexVersion = `{"index of":"boildown sessions","v":3}`
	maxIndex     = 256 << 20 // bytes; half a million batches have less
)

// readIndex returns the entries by name, none when the index is missing, of
// another version or not readable; a line that is damaged costs only itself.
func readIndex(dir string) map[string]Entry {
	path := filepath.Join(dir, indexName)
	if info, err := os.Stat(path); err != nil || info.Size() > maxIndex || !info.Mode().IsRegular() {
		return nil
	}
	file, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	head, rest, _ := bytes.Cut(file, []byte{'\n'})
	if string(head) != indexVersion {
		return nil
	}
	lines := make([][]byte, runtime.GOMAXPROCS(0))
	for i := range lines {
		lines[i], rest = cutLines(rest, len(rest)/(len(lines)-i))
	}
	parts := make([][]Entry, len(lines))
	onAllCores(len(lines), func(i int) { parts[i] = readEntries(lines[i]) })
	known := map[string]Entry{}
	for _, part := range parts {
		for _, e := range part {
			known[e.Name] = e
		}
	}
	return known
}

// cutLines cuts whole lines of about n bytes off b.
func cutLines(b []byte, n int) (lines, rest []byte) {
	end := bytes.IndexByte(b[min(n, len(b)):], '\n')
	if end < 0 {
		return b, nil
	}
	return b[:n+end+1], b[n+end+1:]
}

func readEntries(lines []byte) []Entry {
	var out []Entry
	for line := range bytes.Lines(lines) {
		var e Entry
		if json.Unmarshal(line, &e) == nil {
			out = append(out, e)
		}
	}
	return out
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
