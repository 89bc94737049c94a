package sessions

import (
	"strconv"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// resumeWord marks in a CSV where a recording went on after a break.
const resumeWord = "resume"

// parseMark reads the mark column. A word that is none of ours is kept as a
// note, since a cook's remark beside a reading is worth more than an error.
// "-120s cream-end" is a mark that was told two minutes late.
func parseMark(cell string) (in plateau.Input, ok bool) {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		return in, false
	}
	if late, rest, found := cutLate(cell); found {
		if in, plain := plainMark(rest); plain && in.Kind == plateau.Marked {
			in.Ago = late
			return in, true
		}
	}
	if in, plain := plainMark(cell); plain {
		return in, true
	}
	return plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkNote, Text: cell}, true
}

func plainMark(cell string) (in plateau.Input, ok bool) {
	word, text, _ := strings.Cut(cell, ":")
	switch {
	case cell == "ack":
		return plateau.Input{Kind: plateau.Acknowledged}, true
	case cell == "undo":
		return plateau.Input{Kind: plateau.Undone}, true
	case cell == resumeWord:
		return plateau.Input{Kind: plateau.Resumed}, true
	case word == "target":
		c, err := probe.ParseTemp(text)
		return plateau.Input{Kind: plateau.Retargeted, Target: c.Rounded()}, err == nil && storable(c)
	case word == "added", word == "note":
		mark, _ := plateau.MarkFor(word)
		return plateau.Input{Kind: plateau.Marked, Mark: mark, Text: text}, true
	}
	mark, ok := plateau.MarkFor(cell)
	return plateau.Input{Kind: plateau.Marked, Mark: mark}, ok
}

// cutLate splits "-120s cream-end" into two minutes and "cream-end".
func cutLate(cell string) (late time.Duration, rest string, ok bool) {
	head, rest, ok := strings.Cut(cell, " ")
	if !ok || len(head) < 3 || head[0] != '-' || head[len(head)-1] != 's' {
		return 0, "", false
	}
	v, err := strconv.ParseFloat(head[1:len(head)-1], 64)
	if err != nil || !(v >= 0 && v <= maxTime.Seconds()) {
		return 0, "", false
	}
	return fromSeconds(v), strings.TrimSpace(rest), true
}

// markCell writes what is not a reading as a mark column's cell, "" for a
// silence, which the gap in the times says by itself.
func markCell(in plateau.Input) string {
	switch in.Kind {
	case plateau.Acknowledged:
		return "ack"
	case plateau.Undone:
		return "undo"
	case plateau.Resumed:
		return resumeWord
	case plateau.Retargeted:
		return "target:" + strconv.FormatFloat(float64(in.Target), 'f', -1, 64) + "C"
	case plateau.Marked:
		cell := in.Mark.String()
		if in.Text != "" || in.Mark == plateau.MarkAdded || in.Mark == plateau.MarkNote {
			cell += ":" + in.Text
		}
		if in.Ago > 0 {
			cell = "-" + strconv.FormatFloat(in.Ago.Seconds(), 'f', -1, 64) + "s " + cell
		}
		return cell
	}
	return ""
}
