package sessions

import (
	"bytes"
	"encoding/json"
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// decode reads the object of a sealed line. line is the whole line, body the
// part that its checksum covers.
func decode(line, body []byte) (Record, error) {
	if in, ok := decodeReading(body); ok {
		return Record{At: in.At, Input: in}, nil
	}
	var w wireRecord
	if err := json.Unmarshal(line, &w); err != nil {
		return Record{}, err
	}
	rec := Record{At: max(fromSeconds(w.T), 0)}
	if in, ok := w.input(); ok {
		rec.Input = in
		return rec, nil
	}
	rec.Text = clean(w.Text, maxText)
	switch w.K {
	case "prompt":
		p, ok := plateau.PromptFor(w.Prompt)
		if !ok {
			return Record{Kind: OtherRecord, At: rec.At, Text: "prompt " + clean(w.Prompt, 40)}, nil
		}
		rec.Kind, rec.Prompt = PromptRecord, p
	case "source":
		rec.Kind, rec.Link = SourceRecord, linkFor(w.Link)
	case "side":
		rec.Kind, rec.Text = SideRecord, clean(w.Name, maxName)
		rec.Side = probe.Reading{At: rec.At}
		if w.C != nil {
			rec.Side.C = roundTemp(probe.Celsius(*w.C))
		}
		var known bool
		if rec.Side.Fault, known = probe.FaultFor(w.Fault); !known {
			rec.Side.Fault = probe.FaultGarbled
		}
		if w.C == nil && rec.Side.Fault == probe.FaultNone {
			rec.Side.Fault = probe.FaultEmpty
		}
	case "lost":
		rec.Kind, rec.Count = LostRecord, max(w.Count, 0)
	case "amend":
		var a wireAmend
		if err := json.Unmarshal(line, &a); err != nil {
			return Record{}, err
		}
		rec.Kind, rec.Label, rec.At = AmendRecord, &a.Amendment, 0
	case "close":
		var c wireClose
		if err := json.Unmarshal(line, &c); err != nil {
			return Record{}, err
		}
		sum := c.Summary.loaded()
		rec.Kind, rec.Sum, rec.At = CloseRecord, &sum, sum.End
	default:
		rec.Kind, rec.Text = OtherRecord, clean(w.K, 40)
	}
	return rec, nil
}

func (w wireRecord) input() (plateau.Input, bool) {
	in := plateau.Input{At: fromSeconds(w.T)}
	switch w.K {
	case "reading":
		in.Kind = plateau.Measured
		if w.C != nil {
			in.C = probe.Celsius(*w.C)
		}
		fault, known := probe.FaultFor(w.Fault)
		if !known { // a fault of a later version is still a doubt
			fault = probe.FaultGarbled
		}
		if w.C == nil && fault == probe.FaultNone {
			fault = probe.FaultEmpty
		}
		in.Fault = fault
	case "silence":
		in.Kind = plateau.Silent
	case "mark":
		in.Kind, in.Ago, in.Text = plateau.Marked, fromSeconds(w.Ago), w.Text
		mark, known := plateau.MarkFor(w.Mark)
		if !known {
			mark, in.Text = plateau.MarkNote, w.Mark+" "+w.Text
		}
		in.Mark = mark
	case "target":
		in.Kind, in.Target = plateau.Retargeted, probe.Celsius(w.Target)
	case "ack":
		in.Kind = plateau.Acknowledged
	case "undo":
		in.Kind = plateau.Undone
	case "resume":
		in.Kind = plateau.Resumed
	default:
		return in, false
	}
	return Rounded(in), true
}

// decodeReading is the short way for the line that makes up nearly the whole
// file, in exactly the form in which the recorder writes it.
func decodeReading(body []byte) (plateau.Input, bool) {
	rest, ok := bytes.CutPrefix(body, []byte(`{"k":"reading","t":`))
	if !ok {
		return plateau.Input{}, false
	}
	ms, rest, ok := thousandths(rest)
	if !ok || ms < 0 || ms > maxTime.Milliseconds() {
		return plateau.Input{}, false
	}
	rest, ok = bytes.CutPrefix(rest, []byte(`,"c":`))
	if !ok {
		return plateau.Input{}, false
	}
	mc, rest, ok := thousandths(rest)
	if !ok || len(rest) > 0 || mc > 1e8 || mc < -1e8 {
		return plateau.Input{}, false
	}
	return plateau.Input{Kind: plateau.Measured, At: time.Duration(ms) * time.Millisecond, C: probe.Celsius(float64(mc) / 1e3)}, true
}

// thousandths reads a plain decimal with at most three decimals, in
// thousandths. The quotient by 1000 is then the very float64 that the decimal
// stands for, since both are rounded correctly.
func thousandths(b []byte) (n int64, rest []byte, ok bool) {
	neg := len(b) > 0 && b[0] == '-'
	if neg {
		b = b[1:]
	}
	digits, decimals, point := 0, 0, false
	for ; len(b) > 0; b = b[1:] {
		c := b[0]
		if c == '.' && !point && digits > 0 {
			point = true
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		n = n*10 + int64(c-'0')
		digits++
		if point {
			decimals++
		}
		if digits > 14 || decimals > 3 {
			return 0, nil, false
		}
	}
	if digits == 0 || point && decimals == 0 {
		return 0, nil, false
	}
	for ; decimals < 3; decimals++ {
		n *= 10
	}
	if neg {
		n = -n
	}
	return n, b, n < math.MaxInt64/2
}

func linkFor(word string) probe.Link {
	for _, l := range []probe.Link{probe.LinkUp, probe.LinkLost} {
		if l.String() == word {
			return l
		}
	}
	return probe.LinkSame
}
