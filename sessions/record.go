package sessions

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// RecordKind says what a [Record] is.
type RecordKind uint8

// The kinds of line behind the header.
const (
	InputRecord  RecordKind = iota // Input was told to the fold
	PromptRecord                   // Prompt began, in the words of Text
	SourceRecord                   // the probe's link: Link and Text
	SideRecord                     // Side is a reading of the channel Text, which is not the pot
	LostRecord                     // Count readings found no room while the disk was away
	AmendRecord                    // title, tags, note or outcome: Label
	CloseRecord                    // the cook ended: Summary
	OtherRecord                    // a kind that this version does not know: Text holds its name
)

// Record is one line of a session.
type Record struct {
	Kind   RecordKind
	At     time.Duration // since the batch began; 0 for an amendment
	Line   int           // in the file, 1 for the header
	Input  plateau.Input
	Prompt plateau.Prompt
	Link   probe.Link
	Side   probe.Reading
	Text   string
	Count  int
	Label  *Amendment
	Sum    *Summary
}

// wireRecord is every line but the header's as JSON.
type wireRecord struct {
	K      string   `json:"k"`
	T      float64  `json:"t"`
	C      *float64 `json:"c,omitempty"`
	Fault  string   `json:"fault,omitempty"`
	Mark   string   `json:"mark,omitempty"`
	Ago    float64  `json:"ago,omitempty"`
	Target float64  `json:"target_c,omitempty"`
	Prompt string   `json:"prompt,omitempty"`
	Link   string   `json:"link,omitempty"`
	Name   string   `json:"channel,omitempty"`
	Text   string   `json:"text,omitempty"`
	Count  int      `json:"n,omitempty"`
}

// Rounded returns in as a session file holds it: milliseconds, thousandths of
// a degree, text without control characters, no number that is not finite.
// Step the rounded input, or the replay drifts from the cook.
func Rounded(in plateau.Input) plateau.Input {
	out := plateau.Input{Kind: in.Kind, At: roundTime(in.At)}
	switch in.Kind {
	case plateau.Measured:
		out.C, out.Fault = roundTemp(in.C), in.Fault
		if in.Fault == probe.FaultNone && !storable(in.C) {
			out.Fault = probe.FaultImpossible
		}
		if in.Fault.String() == "unknown fault" {
			out.Fault = probe.FaultGarbled
		}
	case plateau.Marked:
		out.Mark, out.Ago = in.Mark, roundTime(in.Ago)
		if known, ok := plateau.MarkFor(in.Mark.String()); !ok || known != in.Mark {
			out.Mark = plateau.MarkNote
		}
		if out.Mark == plateau.MarkNote || out.Mark == plateau.MarkAdded {
			out.Text = strings.TrimSpace(clean(in.Text, maxText))
		}
	case plateau.Retargeted:
		out.Target = roundTemp(in.Target)
	}
	return out
}

func roundTime(d time.Duration) time.Duration {
	return min(max(d, 0), maxTime).Round(time.Millisecond)
}

// storable reports whether c is a number that a file can hold.
func storable(c probe.Celsius) bool { return math.Abs(float64(c)) <= 1e5 }

func roundTemp(c probe.Celsius) probe.Celsius {
	if !storable(c) {
		return 0
	}
	return c.Rounded() + 0 // no negative zero
}

var inputWords = map[plateau.Kind]string{
	plateau.Measured: "reading", plateau.Silent: "silence", plateau.Marked: "mark",
	plateau.Retargeted: "target", plateau.Acknowledged: "ack", plateau.Undone: "undo",
	plateau.Resumed: "resume",
}

// appendInput appends in's line to b. in is rounded.
func appendInput(b []byte, in plateau.Input) []byte {
	start := len(b)
	b = append(b, `{"k":"`...)
	b = append(b, inputWords[in.Kind]...)
	b = append(b, `","t":`...)
	b = appendSeconds(b, in.At)
	switch in.Kind {
	case plateau.Measured:
		if in.Fault == probe.FaultNone || in.C != 0 {
			b = append(b, `,"c":`...)
			b = strconv.AppendFloat(b, float64(in.C), 'f', -1, 64)
		}
		if in.Fault != probe.FaultNone {
			b = appendText(b, "fault", in.Fault.String())
		}
	case plateau.Marked:
		b = appendText(b, "mark", in.Mark.String())
		if in.Ago > 0 {
			b = append(b, `,"ago":`...)
			b = appendSeconds(b, in.Ago)
		}
		if in.Text != "" {
			b = appendText(b, "text", in.Text)
		}
	case plateau.Retargeted:
		b = append(b, `,"target_c":`...)
		b = strconv.AppendFloat(b, float64(in.Target), 'f', -1, 64)
	}
	return seal(b, start)
}

// appendSeconds writes d with three decimals.
func appendSeconds(b []byte, d time.Duration) []byte {
	ms := d.Milliseconds()
	b = strconv.AppendInt(b, ms/1000, 10)
	ms %= 1000
	return append(b, '.', byte('0'+ms/100), byte('0'+ms/10%10), byte('0'+ms%10))
}

func appendText(b []byte, key, text string) []byte {
	quoted, err := json.Marshal(text)
	if err != nil { // a string always marshals
		quoted = []byte(`""`)
	}
	b = append(b, `,"`...)
	b = append(b, key...)
	b = append(b, `":`...)
	return append(b, quoted...)
}
