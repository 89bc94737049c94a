package sessions

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// CSVHeader is the first line of a batch as CSV (RFC 4180). The columns fault
// and channel may follow it; see [WriteCSV].
const CSVHeader = "seconds,celsius,mark"

// SilenceAfter is how long no line may come before the fold is told so, once
// and again each time that it passes.
const SilenceAfter = 5 * time.Second

// silenceMost is how much of one gap in a table is told. The fold has nothing
// left to say long before, and a month between two rows must not take minutes.
const silenceMost = time.Hour

// sidePrefix stands before a channel's name in a CSV, so that no cell begins
// with what a person typed.
const sidePrefix = "channel:"

// maxCSVLine bounds one line of a CSV, in bytes.
const maxCSVLine = 1 << 20

// Row is one line of a batch as CSV.
type Row struct {
	Line   int             // in the file, 1 for the header
	At     time.Duration   // as written, even when it runs backwards
	HasC   bool            // C holds a value
	C      probe.Celsius   // raw
	Fault  probe.Fault     // why C is not to be used
	Side   string          // the channel that read it where that is not the pot; C and Fault are its, Inputs is empty
	Inputs []plateau.Input // what to step, in order: silences, the mark, the reading; valid until the next row
}

// ReadCSV yields the rows of a batch as CSV. A gap of more than five seconds
// is stepped as silence. A time that runs backwards makes its reading the
// fault "out of order". A row with a mark and no temperature is only that
// mark; without a mark it is a fault. An error ends the rows: it names the
// line, and is [ErrNotCSV] when the header is not that of a batch.
func ReadCSV(r io.Reader) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		rows := csv.NewReader(&lineCap{in: r, max: maxCSVLine})
		rows.FieldsPerRecord = -1 // counted here, with a plainer message
		rows.ReuseRecord = true
		header, err := rows.Read()
		if err != nil {
			yield(Row{}, fmt.Errorf("%w: %s", ErrNotCSV, csvFault(err)))
			return
		}
		if !isCSVHeader(header) {
			yield(Row{}, fmt.Errorf("%w: its first line is %q", ErrNotCSV, clean(strings.Join(header, ","), 80)))
			return
		}
		var steps stepper
		for {
			fields, err := rows.Read()
			if errors.Is(err, io.EOF) {
				return
			}
			row := Row{}
			if err == nil {
				row.Line, _ = rows.FieldPos(0)
				err = steps.row(&row, fields)
			} else {
				err = errors.New(csvFault(err))
			}
			if !yield(row, err) || err != nil {
				return
			}
		}
	}
}

// isCSVHeader takes the three columns, and those of faults and of channels
// behind them.
func isCSVHeader(header []string) bool {
	got := make([]string, len(header))
	for i, h := range header {
		got[i] = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\uFEFF")))
	}
	want := strings.Split(CSVHeader, ",")
	return slices.Equal(got, want) || slices.Equal(got, append(want, "fault")) || slices.Equal(got, append(want, "fault", "channel"))
}

func csvFault(err error) string {
	var p *csv.ParseError
	switch {
	case errors.As(err, &p):
		return fmt.Sprintf("line %d: %v", p.Line, p.Err)
	case errors.Is(err, io.EOF):
		return "it is empty"
	}
	return err.Error()
}

// stepper turns the rows of a CSV into inputs whose time never runs backwards.
type stepper struct {
	last   time.Duration
	begun  bool
	inputs []plateau.Input
}

func (s *stepper) row(row *Row, fields []string) error {
	if len(fields) < 3 || len(fields) > 5 {
		return fmt.Errorf("line %d has %d fields instead of 3", row.Line, len(fields))
	}
	at, err := parseSeconds(fields[0])
	if err != nil {
		return fmt.Errorf("line %d: %w", row.Line, err)
	}
	row.At = at
	row.C, row.Fault = parseCell(fields[1])
	row.HasC = row.Fault == probe.FaultNone
	if len(fields) > 3 && strings.TrimSpace(fields[3]) != "" {
		if row.Fault, _ = probe.FaultFor(strings.TrimSpace(fields[3])); row.Fault == probe.FaultNone {
			row.Fault = probe.FaultGarbled
		}
	}
	if len(fields) > 4 {
		row.Side = clean(strings.TrimPrefix(strings.TrimSpace(fields[4]), sidePrefix), maxName)
	}
	if row.Side != "" {
		row.Inputs = nil
		return nil
	}
	mark, marked := parseMark(fields[2])
	measured := !marked || row.Fault != probe.FaultEmpty
	if row.At < s.last {
		row.Fault = probe.FaultOutOfOrder
	}
	s.inputs = s.inputs[:0]
	s.silence(at)
	s.last, s.begun = max(s.last, at), true
	if marked {
		mark.At = s.last
		s.inputs = append(s.inputs, Rounded(mark))
	}
	if measured {
		s.inputs = append(s.inputs, plateau.Input{Kind: plateau.Measured, At: s.last, C: row.C, Fault: row.Fault})
	}
	row.Inputs = s.inputs
	return nil
}

// silence steps the gap before at.
func (s *stepper) silence(at time.Duration) {
	if !s.begun {
		return
	}
	for t := s.last + SilenceAfter; t < at && t <= s.last+silenceMost; t += SilenceAfter {
		s.inputs = append(s.inputs, plateau.Input{Kind: plateau.Silent, At: t})
	}
}

func parseSeconds(cell string) (time.Duration, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) > maxTime.Seconds() {
		return 0, fmt.Errorf("%q is not a number of seconds", clean(cell, 40))
	}
	return fromSeconds(v), nil
}

// parseCell reads a temperature. Empty and unreadable cells are faults of the
// probe, not of the file.
func parseCell(cell string) (probe.Celsius, probe.Fault) {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		return 0, probe.FaultEmpty
	}
	v, err := strconv.ParseFloat(cell, 64)
	switch {
	case err != nil || math.IsNaN(v) || math.IsInf(v, 0):
		return 0, probe.FaultGarbled
	case !storable(probe.Celsius(v)):
		return 0, probe.FaultImpossible
	}
	return roundTemp(probe.Celsius(v)), probe.FaultNone
}

// lineCap fails a stream whose lines have no end, so that a huge or binary
// file costs no memory.
type lineCap struct {
	in   io.Reader
	max  int
	open int  // bytes since the last line end
	cell bool // inside of a quoted cell, which may hold line ends: they end no line
}

func (l *lineCap) Read(b []byte) (int, error) {
	n, err := l.in.Read(b)
	for _, c := range b[:n] {
		if c == '"' {
			l.cell = !l.cell
		}
		if l.open++; c == '\n' && !l.cell {
			l.open = 0
		}
		if l.open > l.max {
			return 0, fmt.Errorf("a line is longer than %d bytes", l.max)
		}
	}
	return n, err
}
