package sessions

import (
	"fmt"
	"io"
	"iter"
	"os"
	"time"

	"boildown/plateau"
)

// Session is one batch, read back whole.
type Session struct {
	Path    string // "" when it did not come from a file
	Header  Header
	Records []Record // in the order in which they were recorded
	Torn    bool     // the last line is unfinished, as after a crash
	Closed  bool     // the cook ended it
	Summary Summary  // of the closing line; zero without one
	Label   Label
	Damage  []Damage
	Notes   []string // what a person should know about the file
}

// maxRecords bounds a session in memory: some 55 hours at 10 Hz.
const maxRecords = 2_000_000

// Read loads a session file. Damage inside it is no error; see
// [Session.Damage]. The errors are those of [NewReader] and of the disk.
func Read(path string) (*Session, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, troubleAt("opening", path, err)
	}
	defer f.Close()
	s, err := Decode(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", clean(path, 400), err)
	}
	s.Path = path
	return s, nil
}

// Decode loads a session from r, as [Read] does from a file. What goes beyond
// two million lines is left out with a note.
func Decode(r io.Reader) (*Session, error) {
	rd, err := NewReader(r)
	if err != nil {
		return nil, err
	}
	s := &Session{Header: rd.Header}
	for rec := range rd.Records() {
		if len(s.Records) == maxRecords {
			rd.note(fmt.Sprintf("the file is longer than a batch can be: it was read up to line %d", rec.Line))
			break
		}
		s.take(rec)
	}
	if rd.Err() != nil {
		return nil, rd.Err()
	}
	s.Torn, s.Damage, s.Notes = rd.Torn, rd.Damage, rd.Notes
	return s, nil
}

func (s *Session) take(rec Record) {
	switch rec.Kind {
	case OtherRecord:
		return
	case CloseRecord:
		s.Closed, s.Summary = true, *rec.Sum
	case AmendRecord:
		s.Label = s.Label.Apply(*rec.Label)
	case InputRecord:
		if rec.Input.Kind == plateau.Resumed {
			s.Closed = false
		}
	}
	s.Records = append(s.Records, rec)
}

// Inputs yields what the fold was told, in order.
func (s *Session) Inputs() iter.Seq[plateau.Input] {
	return func(yield func(plateau.Input) bool) {
		for i := range s.Records {
			if s.Records[i].Kind == InputRecord && !yield(s.Records[i].Input) {
				return
			}
		}
	}
}

// Prompts yields the prompts that were raised while the batch cooked.
func (s *Session) Prompts() iter.Seq[Record] {
	return func(yield func(Record) bool) {
		for _, rec := range s.Records {
			if rec.Kind == PromptRecord && !yield(rec) {
				return
			}
		}
	}
}

// Sides yields the readings of other channels than the pot's.
func (s *Session) Sides() iter.Seq[Record] {
	return func(yield func(Record) bool) {
		for _, rec := range s.Records {
			if rec.Kind == SideRecord && !yield(rec) {
				return
			}
		}
	}
}

// End returns the time of the last input.
func (s *Session) End() time.Duration {
	var end time.Duration
	for in := range s.Inputs() {
		end = max(end, in.At)
	}
	return end
}

// Title returns what to call the batch: its title, else its recipe, else when
// it was cooked.
func (s *Session) Title() string { return titleOf(s.Label.Title, s.Header.Recipe, s.Header.Start) }

func titleOf(title, recipe string, start time.Time) string {
	switch {
	case title != "":
		return title
	case recipe != "":
		return recipe
	case start.IsZero():
		return "batch of unknown date"
	}
	return "batch of " + start.Format("2 January 2006 15:04")
}
