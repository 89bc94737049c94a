//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package sessions

import (
	"errors"
	"os"
	"syscall"
)

// lockFile takes the file's advisory lock. The system releases it when the
// file is closed or the program dies. A file system without locks (some
// network shares) gets none: recording matters more than keeping a second
// recorder out.
func lockFile(f *os.File) error {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	switch {
	case errors.Is(err, syscall.EWOULDBLOCK):
		return ErrLocked
	case errors.Is(err, syscall.ENOTSUP), errors.Is(err, syscall.ENOLCK), errors.Is(err, syscall.ENOSYS), errors.Is(err, syscall.EINVAL):
		return nil
	}
	return err
}
