//go:build unix

package port

import (
	"os"
	"os/user"
	"strconv"
	"syscall"
)

// groupOf returns the name of the group that owns the node at path, "" if it
// cannot be told.
func groupOf(path string) string {
	info, err := os.Stat(path)
	if err != nil {
		return ""
	}
	st, ok := info.Sys().(*syscall.Stat_t)
	if !ok || info.Mode().Perm()&0o040 == 0 {
		return ""
	}
	g, err := user.LookupGroupId(strconv.FormatUint(uint64(st.Gid), 10))
	if err != nil {
		return ""
	}
	return g.Name
}
