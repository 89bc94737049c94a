package sessions

import (
	"errors"
	"fmt"
)

// The decisions that a caller makes.
var (
	ErrNotSession = errors.New("not a boildown session file")
	ErrNotCSV     = errors.New("not a batch as CSV with the header " + CSVHeader)
	ErrEmpty      = errors.New("nothing was recorded in it yet")
	ErrNewer      = errors.New("the session's format is newer than this program")
	ErrStale      = errors.New("it began too long ago to go on as the same batch")
	ErrLocked     = errors.New("another program is recording this session")
)

// VersionError refuses a session of a newer major version.
type VersionError struct {
	Version int
	By      string // the program version that wrote it, where the file says
}

func (e *VersionError) Error() string {
	by := ""
	if e.By != "" {
		by = " (written by " + e.By + ")"
	}
	return fmt.Sprintf("session format %d is newer than format %d, which this program reads%s: update boildown to open it",
		e.Version, FormatVersion, by)
}

// Is makes every VersionError an [ErrNewer].
func (e *VersionError) Is(target error) bool { return target == ErrNewer }

// Damage is a place in a session file that could not be read. What stands
// before and behind it is not affected.
type Damage struct {
	Line   int   // 1 for the first
	Offset int64 // of the first byte
	Bytes  int64 // how many could not be read
	Why    string
}

func (d Damage) Error() string {
	return fmt.Sprintf("line %d (byte %d, %d bytes): %s", d.Line, d.Offset, d.Bytes, d.Why)
}
