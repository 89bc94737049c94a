package sessions

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"boildown/plateau"
	"boildown/probe"
)

// WriteCSV writes a batch as [ReadCSV] reads it, without loss of a reading or
// a mark. A reading that its source doubted adds the fourth column, fault.
// What a spreadsheet could take for a formula cannot occur: a cell begins with
// a digit, a minus sign before a digit, or one of the format's own words.
func WriteCSV(w io.Writer, s *Session) error {
	faults := false
	for in := range s.Inputs() {
		faults = faults || in.Kind == plateau.Measured && in.Fault != probe.FaultNone && in.Fault != probe.FaultEmpty
	}
	out := csv.NewWriter(w)
	header := strings.Split(CSVHeader, ",")
	if faults {
		header = append(header, "fault")
	}
	out.Write(header)
	var held []string // a mark, until it is known whether a reading of its time follows
	for in := range s.Inputs() {
		if in.Kind == plateau.Silent {
			continue
		}
		row := []string{strconv.FormatFloat(in.At.Seconds(), 'f', -1, 64), "", markCell(in), ""}
		if in.Kind == plateau.Measured {
			if in.Fault == probe.FaultNone || in.C != 0 {
				row[1] = strconv.FormatFloat(float64(in.C), 'f', -1, 64)
			}
			row[3] = in.Fault.String()
			if held != nil && held[0] == row[0] && row[1] != "" && in.Fault != probe.FaultEmpty {
				row[2], held = held[2], nil
			}
		}
		if held != nil {
			out.Write(held[:len(header)])
			held = nil
		}
		if in.Kind != plateau.Measured {
			held = row
			continue
		}
		out.Write(row[:len(header)])
	}
	if held != nil {
		out.Write(held[:len(header)])
	}
	out.Flush()
	return out.Error()
}
