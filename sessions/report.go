package sessions

import (
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"
	"time"

	"boildown/plateau"
)

//go:embed report.html
var reportText string

//go:embed plot.svg
var plotText string

var pages = template.Must(template.Must(template.New("report").Parse(reportText)).New("plot").Parse(plotText))

// page is what report.html is given.
type page struct {
	Title      string
	Comparison *Comparison
	Overlay    []*plot
	Legend     []legend
	Batches    []batchPage
	Demo       bool
}

// legend names a curve of the overlay.
type legend struct {
	Number int
	Class  string
	Title  string
	When   string
}

func dateOf(start time.Time) string {
	if start.IsZero() {
		return "date unknown"
	}
	return start.Format("2 January 2006, 15:04")
}

// batchPage is one batch of a report.
type batchPage struct {
	Number  int
	Title   string
	When    string
	Facts   [][2]string
	Verdict Verdict
	Plots   []*plot
	Marks   []markRow
	Prompts []markRow
	Recipe  string
	Note    string
	Notes   []string
	Many    bool
}

type markRow struct {
	Number int
	When   string
	Temp   string
	What   string
}

// When returns the moment of a finding for a reader.
func (f Finding) When() string { return clock(f.At) }

// WriteReport writes one page of HTML about the sessions, and about what
// differs between them when there are several. The page needs nothing else:
// no script, no network, no other file. usual may be nil.
func WriteReport(w io.Writer, all []*Session, align Align, usual func(*Session) Usual) error {
	if len(all) == 0 {
		return errors.New("a report needs at least one session")
	}
	p := page{Title: all[0].Title()}
	if len(all) > 1 {
		c, err := Compare(all, align)
		if err != nil {
			return err
		}
		p.Title = fmt.Sprintf("%d batches side by side", len(all))
		p.Comparison = &c
		for _, sh := range []shape{wide, narrow} {
			p.Overlay = append(p.Overlay, comparePlot("all", sh, c))
			if near := compareClose("near", sh, c); near != nil {
				p.Overlay = append(p.Overlay, near)
			}
		}
		for i, t := range c.Tracks {
			p.Legend = append(p.Legend, legend{i + 1, trackClass(i), t.Title, dateOf(t.Session.Header.Start)})
		}
	}
	for i, s := range all {
		u := Usual{}
		if usual != nil {
			u = usual(s)
		}
		b := batchPageOf(i+1, s, u)
		b.Many = len(all) > 1
		p.Batches = append(p.Batches, b)
		p.Demo = p.Demo || s.Header.Demo
	}
	return pages.ExecuteTemplate(w, "report", p)
}

func batchPageOf(n int, s *Session, usual Usual) batchPage {
	c := courseOf(s)
	b := batchPage{Number: n, Title: s.Title(), When: dateOf(s.Header.Start),
		Verdict: Review(s, usual), Recipe: s.Header.RecipeText, Note: s.Label.Note, Notes: s.Notes}
	id := fmt.Sprintf("b%d", n)
	for _, sh := range []shape{wide, narrow} {
		b.Plots = append(b.Plots, batchPlot(id+"-whole", sh, c))
		if near := closePlot(id+"-close", sh, c); near != nil {
			b.Plots = append(b.Plots, near)
		}
	}
	b.Facts = c.facts()
	for i, m := range c.marks {
		b.Marks = append(b.Marks, markRow{i + 1, clock(m.at), c.tempAt(m.at), markName(m)})
	}
	for i, m := range c.prompts {
		b.Prompts = append(b.Prompts, markRow{i + 1, clock(m.At), c.tempAt(m.At), m.Text})
	}
	return b
}

func (c *course) tempAt(at time.Duration) string {
	v, ok := c.at(at)
	if !ok {
		return "–"
	}
	return c.session.Header.Unit.Temp(v, 1)
}

// facts are the figures at the top of a batch.
func (c *course) facts() [][2]string {
	u := c.session.Header.Unit
	var out [][2]string
	add := func(name, value string) {
		if value != "" {
			out = append(out, [2]string{name, value})
		}
	}
	for _, m := range measures {
		if v, ok := m.get(c); ok {
			add(m.name, m.write(v, u))
		}
	}
	h := c.session.Header
	add("recipe", h.Recipe)
	add("cook", h.Cook)
	add("hob", h.Hob)
	add("probe", h.Probe)
	add("pressure known from", h.PressureFrom)
	add("pull learned from past batches", h.HabitsFrom)
	o := c.session.Label.Outcome
	add("texture", o.TextureWord())
	add("coat", o.Coat)
	add("colour", o.Colour)
	add("in cold water", o.Water)
	add("taste", o.Taste)
	if o.Pieces > 0 {
		add("pieces", strconv.Itoa(o.Pieces))
	}
	if o.Thrown {
		add("kept", "no, thrown away")
	}
	add("outcome", o.Text)
	add("tags", strings.Join(c.session.Label.Tags, ", "))
	return out
}

var markNames = map[plateau.Mark]string{
	plateau.MarkMeltStart: "sugar in, heat on", plateau.MarkCrystalsGone: "free of crystals", plateau.MarkCreamStart: "first cream",
	plateau.MarkCreamEnd: "last cream in", plateau.MarkHeatDown: "heat down", plateau.MarkHeatUp: "heat up", plateau.MarkBackOn: "back on the heat",
	plateau.MarkPull: "pulled off the heat", plateau.MarkDip: "first piece dipped", plateau.MarkLookDry: "looks dry",
	plateau.MarkLookClumps: "clumps", plateau.MarkLookColouring: "takes colour", plateau.MarkLookClear: "clear",
	plateau.MarkAdded: "added", plateau.MarkNote: "note",
}

func markName(m told) string {
	name := markNames[m.mark]
	if m.text != "" {
		name += ": " + m.text
	}
	return name
}

// WriteSVG writes the curve of one session, or those of several over each
// other, as a drawing that stands by itself.
func WriteSVG(w io.Writer, all []*Session, align Align) error {
	var p *plot
	switch len(all) {
	case 0:
		return errors.New("a drawing needs at least one session")
	case 1:
		p = batchPlot("curve", wide, courseOf(all[0]))
	default:
		c, err := Compare(all, align)
		if err != nil {
			return err
		}
		p = comparePlot("curve", wide, c)
	}
	return pages.ExecuteTemplate(w, "drawing", p)
}
