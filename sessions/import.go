package sessions

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"boildown/probe"
)

// Columns says how to read a table of times and temperatures from anywhere.
// What is not set is guessed by [GuessColumns].
type Columns struct {
	Separator rune       // ',', ';', tab or '|'; 0 guesses
	Comma     bool       // decimals are written 104,5
	Skip      int        // lines before the first row of values
	Time      int        // column of the time, 1 for the first; 0 guesses
	Temp      int        // column of the temperature; 0 guesses
	Mark      int        // column of marks, which are read as in [ReadCSV]; 0 for none
	TimeUnit  string     // "s", "ms", "min", "clock" (h:mm:ss), "date" or "epoch"; "" guesses
	Unit      probe.Unit // scale of the temperature
	HasUnit   bool       // Unit is set
	Why       []string   // how each guess was made, for the person to check
}

// maxImport bounds a table, in bytes.
const maxImport = 256 << 20

// Import reads a bare table of times and temperatures as a session. want holds
// what is known of its columns; the rest is guessed, and the columns that were
// used come back with the reasons. Rows whose time cannot be read are counted
// in the session's notes; rows without a temperature are faults, as live. The
// session has no target: set it in its header.
func Import(r io.Reader, want Columns) (*Session, Columns, error) {
	file, err := io.ReadAll(io.LimitReader(r, maxImport+1))
	if err != nil {
		return nil, want, err
	}
	if len(file) > maxImport {
		return nil, want, fmt.Errorf("the table is larger than %d MB", maxImport>>20)
	}
	file = bytes.TrimPrefix(file, []byte("\xEF\xBB\xBF"))
	cols, err := GuessColumns(file, want)
	if err != nil {
		return nil, cols, err
	}
	s, err := cols.session(file)
	return s, cols, err
}

// session reads all rows. Times count from the first one.
func (c Columns) session(file []byte) (*Session, error) {
	s := &Session{}
	var steps stepper
	first, last := math.NaN(), 0.0
	bad := 0
	for fields := range c.rows(file, -1) {
		t, wall, ok := c.time(fields)
		if !ok {
			bad++
			continue
		}
		if math.IsNaN(first) {
			first = t
			s.Header.Start = wall
		}
		t -= first
		if c.TimeUnit == "clock" && t < last-43_200 { // past midnight
			first -= 86_400
			t += 86_400
		}
		last = max(last, t)
		row := Row{}
		var mark string
		if c.Mark > 0 && c.Mark <= len(fields) {
			mark = fields[c.Mark-1]
		}
		seconds := fmt.Sprintf("%.3f", t)
		if err := steps.row(&row, []string{seconds, c.temperature(fields), mark}); err != nil {
			bad++
			continue
		}
		for _, in := range row.Inputs {
			if len(s.Records) == maxRecords {
				return nil, errors.New("the table is longer than a batch can be")
			}
			s.take(Record{Kind: InputRecord, At: in.At, Line: row.Line, Input: in})
		}
	}
	if len(s.Records) == 0 {
		return nil, errors.New("no row of the table has a time that can be read")
	}
	if bad > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d lines without a time that can be read were left out", bad))
	}
	return s, nil
}

// rows yields the fields of each line behind the skipped ones, at most n of
// them for an n that is not negative.
func (c Columns) rows(file []byte, n int) func(yield func([]string) bool) {
	return func(yield func([]string) bool) {
		for range c.Skip {
			_, rest, ok := bytes.Cut(file, []byte{'\n'})
			if !ok {
				return
			}
			file = rest
		}
		in := csv.NewReader(&lineCap{in: bytes.NewReader(file), max: maxCSVLine})
		in.Comma, in.FieldsPerRecord, in.ReuseRecord, in.LazyQuotes = c.Separator, -1, true, true
		in.TrimLeadingSpace = c.Separator != '\t'
		for ; n != 0; n-- {
			fields, err := in.Read()
			if err != nil {
				return
			}
			if !yield(fields) {
				return
			}
		}
	}
}

// temperature returns the temperature cell as a number of °C in text, so that
// one parser finds the faults in it.
func (c Columns) temperature(fields []string) string {
	if c.Temp > len(fields) {
		return ""
	}
	cell := strings.TrimSpace(fields[c.Temp-1])
	v, _, ok := number(cell, c.Comma)
	if !ok {
		return cell
	}
	if c.Unit == probe.UnitF {
		v = float64(probe.Fahrenheit(v))
	}
	return fmt.Sprintf("%.6f", v)
}

// String says what was used and why, one thing a line.
func (c Columns) String() string { return strings.Join(c.Why, "\n") }

// Save writes a session that is not on the shelf yet, as an imported one, to
// dir and returns its path. A session without a start gets the present time.
func Save(dir string, s *Session) (string, error) {
	h := s.Header
	if h.Start.IsZero() {
		h.Start = time.Now()
	}
	r, err := Create(dir, h)
	if err != nil {
		return "", err
	}
	for _, rec := range s.Records {
		r.again(rec)
		if s := r.Status(); s.Kept > keepReadings/2 && !r.Flush(time.Minute) { // the disk sets the pace
			break
		}
	}
	if err := r.Close(s.Summary); err != nil {
		return "", err
	}
	return r.Path(), nil
}

// again records what another session recorded.
func (r *Recorder) again(rec Record) {
	switch rec.Kind {
	case InputRecord:
		r.Input(rec.Input)
	case PromptRecord:
		r.Prompt(rec.At, rec.Prompt, rec.Text)
	case SourceRecord:
		r.Source(rec.At, rec.Link, rec.Text)
	case SideRecord:
		r.Side(rec.Text, rec.Side)
	case AmendRecord:
		r.Amend(*rec.Label)
	}
}

// FromCSV reads a batch as CSV, as [WriteCSV] writes it, as a session without
// a header of its own. Its errors are those of [ReadCSV].
func FromCSV(r io.Reader) (*Session, error) {
	s := &Session{}
	for row, err := range ReadCSV(r) {
		if err != nil {
			return nil, err
		}
		if row.Side != "" {
			s.Records = append(s.Records, Record{Kind: SideRecord, At: row.At, Line: row.Line, Text: row.Side,
				Side: probe.Reading{At: row.At, C: row.C, Fault: row.Fault}})
		}
		for _, in := range row.Inputs {
			if len(s.Records) >= maxRecords {
				return nil, errors.New("the file is longer than a batch can be")
			}
			s.take(Record{Kind: InputRecord, At: in.At, Line: row.Line, Input: in})
		}
	}
	return s, nil
}

// Adopt copies a session file from elsewhere to the shelf in dir, byte for
// byte, and returns its path there. Damage comes along and is shown as such.
func Adopt(dir, path string) (string, error) {
	s, err := Read(path)
	if err != nil {
		return "", err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", troubleAt("importing to", dir, err)
	}
	for n := range 1000 {
		to := filepath.Join(dir, Name(s.Header.Start, n))
		err := copyFile(to, path)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			os.Remove(to)
			return "", troubleAt("importing to", to, err)
		}
		return to, nil
	}
	return "", troubleAt("importing to", dir, fs.ErrExist)
}
