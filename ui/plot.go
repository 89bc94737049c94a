package ui

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/guptarohit/asciigraph"
)

// The chart library draws lines into text; what it drew is read back cell by
// cell so that bands, marks and our own styles can be laid round it. Each
// series carries a colour that is never shown: it is a tag that tells the
// series apart on the way back.
const (
	tagGoal  = 40
	tagAhead = 41
	tagTrack = 42
)

var tagStyles = map[int]style{tagGoal: goal, tagAhead: ahead, tagTrack: track}

// plotCell is one drawn cell.
type plotCell struct {
	r  rune
	st style
}

// plotLines draws the target, the forecast's line and the readings over n
// columns. A series holds n+1 values relative to the scale's anchor, NaN where
// there is nothing. Rows come from the top; an empty cell has r == 0.
func plotLines(s scale, n int, goalLine, aheadLine, trackLine []float64) [][]plotCell {
	return drawLines(s, n, [][]float64{goalLine, aheadLine, trackLine},
		[]asciigraph.AnsiColor{tagGoal, tagAhead, tagTrack},
		[]asciigraph.CharSet{asciigraph.CreateCharSet("╌"), asciigraph.CreateCharSet("•"), asciigraph.DefaultCharSet},
		tagStyles)
}

// drawLines draws series over n columns and reads them back by their tags.
func drawLines(s scale, n int, lines [][]float64, tags []asciigraph.AnsiColor, chars []asciigraph.CharSet, styles map[int]style) [][]plotCell {
	text := asciigraph.PlotMany(lines,
		asciigraph.Height(s.rows-1),
		asciigraph.LowerBound(s.min()), asciigraph.UpperBound(s.max()),
		asciigraph.Offset(3),
		asciigraph.YAxisValueFormatter(func(float64) string { return "" }),
		asciigraph.SeriesColors(tags...),
		asciigraph.SeriesChars(chars...),
	)
	cells := make([][]plotCell, s.rows)
	drawn := strings.Split(text, "\n")
	for row := range cells {
		cells[row] = make([]plotCell, n)
		if row < len(drawn) {
			readBack(drawn[row], cells[row], styles)
		}
	}
	return cells
}

// axisColumn is where the library puts its axis at offset 3.
const axisColumn = 2

// readBack takes the escape sequences of one line apart again.
func readBack(line string, out []plotCell, styles map[int]style) {
	tag, col := 0, 0
	for len(line) > 0 {
		if rest, ok := strings.CutPrefix(line, "\x1b["); ok {
			code, after, _ := strings.Cut(rest, "m")
			tag = 0
			if n, ok := strings.CutPrefix(code, "38;5;"); ok {
				tag, _ = strconv.Atoi(n)
			}
			line = after
			continue
		}
		r, size := utf8.DecodeRuneInString(line)
		line = line[size:]
		if i := col - axisColumn - 1; i >= 0 && i < len(out) && r != ' ' {
			out[i] = plotCell{r: r, st: styles[tag]}
		}
		col++
	}
}

// flat is a series of one value.
func flat(v float64, n int) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = v
	}
	return s
}

// nothing is a series without a value.
func nothing(n int) []float64 { return flat(math.NaN(), n) }
