package sessions

import (
	"fmt"
	"strings"
	"time"
)

// Ext is the ending of a session file's name.
const Ext = ".jsonl"

// Name returns the file name of a batch that began at start. It is in UTC, so
// that names sort in the order of cooking when the clocks change, and holds
// only characters that every file system takes. n is 0 for the first choice
// and counts up while names are taken.
func Name(start time.Time, n int) string {
	name := start.UTC().Format("2006-01-02T15-04-05Z")
	if n > 0 {
		name = fmt.Sprintf("%s-%d", name, n+1)
	}
	return name + Ext
}

// isName reports whether a folder entry can be a session.
func isName(name string) bool {
	return strings.HasSuffix(name, Ext) && !strings.HasPrefix(name, ".")
}
