package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// silenceAfter is how long no line may come before the fold is told so, once
// and again each time it passes.
const silenceAfter = 5 * time.Second

// maxSeconds bounds the seconds column, some four months: a wild number must
// not be turned into a year of silence.
const maxSeconds = 1e7

// maxLine bounds one line of a CSV in bytes.
const maxLine = 1 << 20

var csvHeader = []string{"seconds", "celsius", "mark"}

func traceCSV(rows *rowWriter, in io.Reader, path string, flags *batchFlags) error {
	cfg, _, err := flags.config(freshConfig())
	if err != nil {
		return err
	}
	r := csv.NewReader(&lineCap{in: in})
	r.FieldsPerRecord = -1 // counted here, with a plainer message
	r.ReuseRecord = true
	header, err := r.Read()
	if err != nil {
		return notTraceable(path, csvFault(err))
	}
	for i := range header {
		header[i] = strings.TrimSpace(header[i])
	}
	if !slices.Equal(header, csvHeader) {
		return notTraceable(path, fmt.Sprintf("its first line is %.80q", strings.Join(header, ",")))
	}
	t := newTracer(rows, cfg, flags.unit)
	for {
		fields, err := r.Read()
		if err == io.EOF {
			return t.close()
		}
		if err != nil {
			return notTraceable(path, csvFault(err))
		}
		line, err := parseCSVLine(fields)
		if err != nil {
			n, _ := r.FieldPos(0)
			return notTraceable(path, fmt.Sprintf("line %d: %v", n, err))
		}
		if err := t.csvLine(line); err != nil {
			return err
		}
	}
}

// csvFault words an error of the CSV reader without its package's prefix.
func csvFault(err error) string {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return fmt.Sprintf("line %d: %v", p.Line, p.Err)
	}
	return err.Error()
}

// csvLine is one row of the file: a reading, and the mark that came with it.
type csvLine struct {
	reading probe.Reading
	mark    plateau.Input // Kind Marked with NoMark when there is none
}

func parseCSVLine(fields []string) (csvLine, error) {
	var l csvLine
	if len(fields) != len(csvHeader) {
		return l, fmt.Errorf("%d fields instead of %d", len(fields), len(csvHeader))
	}
	s, err := strconv.ParseFloat(strings.TrimSpace(fields[0]), 64)
	if err != nil || math.IsNaN(s) || math.Abs(s) > maxSeconds {
		return l, fmt.Errorf("%.40q is not a number of seconds", fields[0])
	}
	l.reading.At = time.Duration(math.Round(s*1e3)) * time.Millisecond
	l.reading.C, l.reading.Fault = parseCell(fields[1])
	l.mark = parseMark(fields[2])
	return l, nil
}

// parseCell reads the celsius column. Empty and unreadable cells are faults of
// the probe, not of the file.
func parseCell(s string) (probe.Celsius, probe.Fault) {
	s = strings.TrimSpace(s)
	if s == "" {
		return 0, probe.FaultEmpty
	}
	c, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(c) || math.IsInf(c, 0) {
		return 0, probe.FaultGarbled
	}
	return probe.Celsius(c).Rounded(), probe.FaultNone
}

// parseMark reads the mark column. A word that is none of ours is kept as a
// note, since a cook's remark beside a reading is worth more than an error.
func parseMark(s string) plateau.Input {
	s = strings.TrimSpace(s)
	in := plateau.Input{Kind: plateau.Marked}
	word, text, _ := strings.Cut(s, ":")
	switch word {
	case "":
		if s == "" {
			return in
		}
	case "ack":
		return plateau.Input{Kind: plateau.Acknowledged}
	case "undo":
		return plateau.Input{Kind: plateau.Undone}
	case "target":
		if c, err := potTemp(text); err == nil {
			return plateau.Input{Kind: plateau.Retargeted, Target: c.Rounded()}
		}
	case "added":
		in.Mark, in.Text = plateau.MarkAdded, text
		return in
	case "note":
		in.Mark, in.Text = plateau.MarkNote, text
		return in
	}
	if m, ok := plateau.MarkFor(s); ok {
		in.Mark = m
		return in
	}
	in.Mark, in.Text = plateau.MarkNote, s
	return in
}

// lineCap fails a stream whose lines have no end, so that a huge or binary
// file costs no memory.
type lineCap struct {
	in   io.Reader
	open int // bytes since the last newline
}

func (l *lineCap) Read(b []byte) (int, error) {
	n, err := l.in.Read(b)
	for _, c := range b[:n] {
		if l.open++; c == '\n' {
			l.open = 0
		}
		if l.open > maxLine {
			return 0, fmt.Errorf("a line is longer than %d bytes", maxLine)
		}
	}
	return n, err
}
