package sessions

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// WriteCSV writes a batch as [ReadCSV] reads it, without loss of a reading or
// a mark. A reading that its source doubted adds the fourth column, fault, and
// other channels than the pot's a fifth, channel. What a spreadsheet could take
// for a formula cannot occur: a cell begins with a digit, a minus sign before a
// digit, or one of the format's own words.
func WriteCSV(w io.Writer, s *Session) error {
	out := &csvWriter{out: csv.NewWriter(w), columns: 3}
	for _, rec := range s.Records {
		in := rec.Input
		switch {
		case rec.Kind == SideRecord:
			out.columns = 5
		case rec.Kind == InputRecord && in.Kind == plateau.Measured && in.Fault != probe.FaultNone && in.Fault != probe.FaultEmpty:
			out.columns = max(out.columns, 4)
		}
	}
	out.row(append(strings.Split(CSVHeader, ","), "fault", "channel"))
	for _, rec := range s.Records {
		switch rec.Kind {
		case InputRecord:
			out.input(rec.Input)
		case SideRecord:
			out.flush()
			out.row([]string{csvSeconds(rec.Side.At), csvReading(rec.Side.C, rec.Side.Fault), "", rec.Side.Fault.String(), sidePrefix + rec.Text})
		}
	}
	out.flush()
	out.out.Flush()
	return out.out.Error()
}

// csvWriter writes rows of as many columns as the batch needs.
type csvWriter struct {
	out     *csv.Writer
	columns int
	held    []string // a mark, until it is known whether a reading of its time follows
}

func (c *csvWriter) row(cells []string) { c.out.Write(cells[:c.columns]) }

// flush writes a mark that no reading of its time has followed.
func (c *csvWriter) flush() {
	if c.held != nil {
		c.row(c.held)
		c.held = nil
	}
}

func (c *csvWriter) input(in plateau.Input) {
	if in.Kind == plateau.Silent {
		return
	}
	row := []string{csvSeconds(in.At), "", markCell(in), "", ""}
	if in.Kind == plateau.Measured {
		row[1], row[3] = csvReading(in.C, in.Fault), in.Fault.String()
		if c.held != nil && c.held[0] == row[0] && row[1] != "" && in.Fault != probe.FaultEmpty {
			row[2], c.held = c.held[2], nil
		}
	}
	c.flush()
	if in.Kind != plateau.Measured {
		c.held = row
		return
	}
	c.row(row)
}

func csvSeconds(at time.Duration) string { return strconv.FormatFloat(at.Seconds(), 'f', -1, 64) }

// csvReading leaves out the value that a fault has none of.
func csvReading(c probe.Celsius, f probe.Fault) string {
	if f != probe.FaultNone && c == 0 {
		return ""
	}
	return strconv.FormatFloat(float64(c), 'f', -1, 64)
}
