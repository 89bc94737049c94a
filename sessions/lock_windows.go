package sessions

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockFile locks one byte far behind the end, since a lock on this system
// also keeps readers out of what it covers.
func lockFile(f *os.File) error {
	far := &windows.Overlapped{OffsetHigh: 1 << 30}
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, far)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return ErrLocked
	}
	return err
}
