package sessions

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"boildown/probe"
)

// Align says which moment of each batch stands at time 0 of a comparison.
type Align uint8

// The moments.
const (
	AlignCreamEnd Align = iota // the last cream is in
	AlignStall                 // the stall begins
	AlignPull                  // the pot leaves the heat
	AlignStart                 // the record begins
)

var alignWords = [...]string{"cream", "stall", "pull", "start"}

// String returns the moment's word.
func (a Align) String() string {
	if int(a) >= len(alignWords) {
		return "start"
	}
	return alignWords[a]
}

// AlignFor returns the moment whose [Align.String] is s, and whether there is one.
func AlignFor(s string) (Align, bool) {
	i := slices.Index(alignWords[:], s)
	return Align(max(i, 0)), i >= 0
}

// CurvePoint is one reading of a track.
type CurvePoint struct {
	At time.Duration // from the moment that the tracks are aligned by
	C  probe.Celsius // corrected
	OK bool          // false where readings were missing or doubted: draw no line across it
}

// Track is one batch of a comparison.
type Track struct {
	Session *Session
	Title   string
	Zero    time.Duration // the batch's own time at 0
	Aligned bool          // false when the batch never had that moment and begins at 0
	Points  []CurvePoint
}

// Difference is one figure of all batches.
type Difference struct {
	Name   string
	Values []string // one for each track, "–" where a batch has none
	Spread string   // between the lowest and the highest
	Weight float64  // how much it differs, in differences worth a look
	Goes   float64  // how well it goes with the outcome, 0–1; 0 when that is not known
}

// Comparison sets batches side by side.
type Comparison struct {
	Align   Align
	Unit    probe.Unit
	Tracks  []Track
	Outcome string       // what counts as the outcome; "" when the batches do not differ in it
	Rows    []Difference // those that go with the outcome first

	boilFrom, boilTo time.Duration // from the first stall to after the last pull, aligned
}

// Compare aligns batches and ranks what differs between them. The outcome is
// the texture where every batch has one, else the peak. With few batches
// anything that differs goes along with the outcome: the ranking says where to
// look, not what was the cause.
func Compare(all []*Session, by Align) (Comparison, error) {
	if len(all) < 2 {
		return Comparison{}, errors.New("a comparison needs at least two sessions")
	}
	c := Comparison{Align: by, Unit: all[0].Header.Unit}
	var courses []*course
	for _, s := range all {
		co := courseOf(s)
		courses = append(courses, co)
		t := co.track(by)
		c.Tracks = append(c.Tracks, t)
		if co.stall != noTime {
			end := min(co.until(co.pull)+2*time.Minute, co.end)
			if c.boilTo == c.boilFrom {
				c.boilFrom, c.boilTo = co.stall-t.Zero, end-t.Zero
			}
			c.boilFrom, c.boilTo = min(c.boilFrom, co.stall-t.Zero), max(c.boilTo, end-t.Zero)
		}
	}
	outcome, word := outcomes(courses)
	c.Outcome = word
	if textures, ok := texturesOf(courses); ok {
		c.Rows = append(c.Rows, Difference{Name: "texture", Values: textures})
	}
	first := len(c.Rows)
	for _, m := range measures {
		if row, ok := m.row(courses, outcome, c.Unit); ok {
			c.Rows = append(c.Rows, row)
		}
	}
	slices.SortStableFunc(c.Rows[first:], func(a, b Difference) int {
		return cmp.Compare(b.rank(), a.rank())
	})
	return c, nil
}

// rank orders by how much differs, and how well that goes with the outcome.
func (d Difference) rank() float64 { return min(d.Weight, 6) * (0.3 + d.Goes) }

// track aligns a batch.
func (c *course) track(by Align) Track {
	t := Track{Session: c.session, Title: c.session.Title(), Aligned: true}
	zero := time.Duration(0)
	switch by {
	case AlignCreamEnd:
		zero = c.creamEnd
	case AlignStall:
		zero = c.stall
	case AlignPull:
		zero = c.pull
	}
	if zero == noTime {
		zero, t.Aligned = 0, false
	}
	t.Zero = zero
	last := noTime
	for _, p := range c.points {
		if last != noTime && p.at-last > SilenceAfter {
			t.Points = append(t.Points, CurvePoint{At: last - zero})
		}
		t.Points = append(t.Points, CurvePoint{At: p.at - zero, C: p.c, OK: p.ok})
		last = p.at
	}
	return t
}

// outcomes returns the figure that counts as each batch's outcome.
func outcomes(courses []*course) ([]float64, string) {
	var texture, peak []float64
	for _, c := range courses {
		if t := c.session.Label.Outcome.Texture; t > 0 {
			texture = append(texture, float64(t))
		}
		if c.peak != 0 {
			peak = append(peak, float64(c.peak))
		}
	}
	switch {
	case len(texture) == len(courses) && spread(texture) > 0:
		return texture, "texture"
	case len(peak) == len(courses) && spread(peak) > 0:
		return peak, "peak"
	}
	return nil, ""
}

func texturesOf(courses []*course) (words []string, some bool) {
	for _, c := range courses {
		w := c.session.Label.Outcome.TextureWord()
		some = some || w != ""
		if w == "" {
			w = "–"
		}
		words = append(words, w)
	}
	return words, some
}

func (m measure) row(courses []*course, outcome []float64, u probe.Unit) (Difference, bool) {
	d := Difference{Name: m.name}
	var values, with []float64
	for i, c := range courses {
		v, ok := m.get(c)
		if !ok {
			d.Values = append(d.Values, "–")
			continue
		}
		d.Values = append(d.Values, m.write(v, u))
		values = append(values, v)
		if outcome != nil {
			with = append(with, outcome[i])
		}
	}
	if len(values) == 0 {
		return d, false
	}
	d.Spread, d.Weight = m.diff(spread(values), u), spread(values)/m.usual
	if len(with) >= 2 {
		d.Goes = math.Abs(correlation(values, with))
	}
	return d, true
}

func spread(v []float64) float64 { return slices.Max(v) - slices.Min(v) }

// correlation is Pearson's; 0 where either side does not vary.
func correlation(x, y []float64) float64 {
	n := float64(len(x))
	var sx, sy, sxx, syy, sxy float64
	for i := range x {
		sx += x[i]
		sy += y[i]
	}
	for i := range x {
		dx, dy := x[i]-sx/n, y[i]-sy/n
		sxx += dx * dx
		syy += dy * dy
		sxy += dx * dy
	}
	if sxx*syy == 0 {
		return 0
	}
	return sxy / math.Sqrt(sxx*syy)
}

// WriteText writes the comparison as a plain table.
func (c Comparison) WriteText(w io.Writer) error {
	rows := [][]string{{""}}
	for i, t := range c.Tracks {
		rows[0] = append(rows[0], fmt.Sprintf("%d", i+1))
		aligned := ""
		if !t.Aligned {
			aligned = "  (never had the moment that the curves are aligned by)"
		}
		if _, err := fmt.Fprintf(w, "%d  %s  %s%s\n", i+1, t.Session.Header.Start.Format("2006-01-02 15:04"), t.Title, aligned); err != nil {
			return err
		}
	}
	rows[0] = append(rows[0], "differ by")
	for _, d := range c.Rows {
		rows = append(rows, append(append([]string{d.Name}, d.Values...), d.Spread))
	}
	said := "The batches do not differ in outcome; the largest differences come first."
	if c.Outcome != "" {
		said = "What goes with the difference in " + c.Outcome + " comes first; that does not make it the cause."
	}
	if _, err := fmt.Fprintf(w, "\n%s\n\n", said); err != nil {
		return err
	}
	return writeColumns(w, rows)
}

// writeColumns writes rows with the first column to the left and the others
// to the right.
func writeColumns(w io.Writer, rows [][]string) error {
	var width []int
	for _, r := range rows {
		for i, cell := range r {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(cell))
		}
	}
	for _, r := range rows {
		var line strings.Builder
		for i, cell := range r {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(cell))
			if i == 0 {
				line.WriteString(cell + pad)
			} else {
				line.WriteString("  " + pad + cell)
			}
		}
		if _, err := fmt.Fprintln(w, strings.TrimRight(line.String(), " ")); err != nil {
			return err
		}
	}
	return nil
}
