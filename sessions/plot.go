package sessions

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"boildown/probe"
)

// plot is a curve laid out in a drawing's own units. Nothing in it is a
// template: every text in it is escaped when it is drawn.
type plot struct {
	ID            string // unique in its page
	Class         string
	Title         string
	Width, Height float64
	Left, Right   float64 // the frame's sides
	Top, Bottom   float64
	XTicks        []tick
	YTicks        []tick
	XName, YName  string
	Lines         []line
	Bands         []band
	Rules         []rule
	Font          float64

	t0, t1 time.Duration
	lo, hi float64 // on the reader's scale
	unit   probe.Unit
}

type tick struct {
	At    float64
	Label string
}

type line struct {
	Class string
	Path  string
	Name  string
	NameX float64 // where its name stands
	NameY float64
}

type band struct {
	Class      string
	X, Y, W, H float64
	Name       string
}

// rule is a line across the plot: a target, or a mark of the cook.
type rule struct {
	Class          string
	X1, Y1, X2, Y2 float64
	LabelX, LabelY float64
	Label          string
}

// shape is the size of a drawing: a wide one for a desk and for paper, a narrow
// one that is drawn anew for a phone, so that its letters stay legible.
type shape struct {
	class         string
	width, height float64
	font          float64
}

var (
	wide   = shape{"wide", 960, 420, 13}
	narrow = shape{"narrow", 360, 300, 11}
)

func newPlot(id string, sh shape, unit probe.Unit, t0, t1 time.Duration, lo, hi probe.Celsius) *plot {
	p := &plot{ID: id + "-" + sh.class, Class: sh.class, Width: sh.width, Height: sh.height, Font: sh.font, unit: unit,
		Left: 4 * sh.font, Right: sh.width - 1.2*sh.font, Top: 2.2 * sh.font, Bottom: sh.height - 3.2*sh.font, t0: t0, t1: max(t1, t0+time.Second)}
	p.lo, p.hi = unit.Of(lo), unit.Of(hi)
	step := niceStep((p.hi-p.lo)*1.02, int((p.Bottom-p.Top)/(3*sh.font)))
	p.lo = math.Floor(p.lo/step) * step
	p.hi = math.Ceil(p.hi/step) * step
	if p.hi <= p.lo {
		p.hi = p.lo + step
	}
	for v := p.lo; v <= p.hi+step/2; v += step {
		p.YTicks = append(p.YTicks, tick{p.yOf(v), strconv.FormatFloat(v, 'f', decimals(step), 64)})
	}
	p.YName, p.XName = unit.String(), "minutes"
	minutes := niceStep((p.t1 - p.t0).Minutes(), int((p.Right-p.Left)/(4*sh.font)))
	for m := math.Ceil(p.t0.Minutes()/minutes-1e-9) * minutes; m <= p.t1.Minutes()+1e-9; m += minutes {
		p.XTicks = append(p.XTicks, tick{p.x(time.Duration(m * float64(time.Minute))), strconv.FormatFloat(m+0, 'f', decimals(minutes), 64)})
	}
	return p
}

// niceStep divides span into at most n steps of 1, 2 or 5 times a power of ten.
func niceStep(span float64, n int) float64 {
	raw := max(span, 1e-6) / float64(max(n, 2))
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, f := range []float64{1, 2, 5} {
		if f*power >= raw*0.999 {
			return f * power
		}
	}
	return 10 * power
}

func decimals(step float64) int { return max(0, int(math.Ceil(-math.Log10(step)-1e-9))) }

func (p *plot) x(at time.Duration) float64 {
	return hundredths(p.Left + (p.Right-p.Left)*float64(at-p.t0)/float64(p.t1-p.t0))
}

func (p *plot) yOf(v float64) float64 {
	return hundredths(p.Bottom - (p.Bottom-p.Top)*(v-p.lo)/(p.hi-p.lo))
}

// hundredths is as fine as a drawing needs.
func hundredths(v float64) float64 { return math.Round(100*v) / 100 }

func (p *plot) y(c probe.Celsius) float64 { return p.yOf(p.unit.Of(c)) }

func (p *plot) clampY(y float64) float64 { return max(p.Top, min(y, p.Bottom)) }

// curve draws readings as a path that breaks at gaps. A column of one unit
// gets at most its first, lowest, highest and last reading.
func (p *plot) curve(class, name string, points []CurvePoint) {
	var b strings.Builder
	pen := false
	column := math.Inf(-1)
	var held []CurvePoint
	put := func(q CurvePoint) {
		op := "L"
		if !pen {
			op, pen = "M", true
		}
		fmt.Fprintf(&b, "%s%.2f %.2f", op, p.x(q.At), p.clampY(p.y(q.C)))
	}
	flush := func() {
		for _, q := range thin(held) {
			put(q)
		}
		held = held[:0]
	}
	last := time.Duration(math.MinInt64)
	l := line{Class: class, Name: name}
	for _, q := range points {
		if q.At < p.t0 || q.At > p.t1 {
			continue
		}
		if y := p.y(q.C); y < p.Top-1 || y > p.Bottom+1 { // outside the frame
			q.OK = false
		}
		gap := last != math.MinInt64 && q.At-last > SilenceAfter
		if !q.OK || gap {
			if gap || q.At-last > 2*time.Second {
				flush()
				pen = false
			}
			if !q.OK {
				continue
			}
		}
		if c := math.Floor(p.x(q.At)); c != column {
			flush()
			column = c
		}
		held = append(held, q)
		last, l.NameX, l.NameY = q.At, p.x(q.At)+0.3*p.Font, p.clampY(p.y(q.C))
	}
	flush()
	l.Path = b.String()
	for moved := true; moved; { // names of curves that end together stand one over the other
		moved = false
		for _, o := range p.Lines {
			if math.Abs(o.NameX-l.NameX) < p.Font && math.Abs(o.NameY-l.NameY) < 0.99*p.Font {
				l.NameY, moved = o.NameY-p.Font, true
			}
		}
	}
	p.Lines = append(p.Lines, l)
}

// thin keeps the first, lowest, highest and last of a column, in order.
func thin(held []CurvePoint) []CurvePoint {
	if len(held) <= 4 {
		return held
	}
	lo, hi := 0, 0
	for i, q := range held {
		if q.C < held[lo].C {
			lo = i
		}
		if q.C > held[hi].C {
			hi = i
		}
	}
	out := []CurvePoint{held[0]}
	for _, i := range []int{min(lo, hi), max(lo, hi), len(held) - 1} {
		if i > 0 && held[i] != out[len(out)-1] {
			out = append(out, held[i])
		}
	}
	return out
}

// level draws a line at a temperature with its name above it.
func (p *plot) level(class, label string, c probe.Celsius) {
	y := p.y(c)
	if y < p.Top || y > p.Bottom {
		return
	}
	p.Rules = append(p.Rules, rule{Class: class, X1: p.Left, Y1: y, X2: p.Right, Y2: y, LabelX: p.NameX(), LabelY: y - 0.35*p.Font, Label: label})
}

// moment draws a line at a time with a short label over the frame. Labels that
// would run into the one before are left out: the table under the plot has all.
func (p *plot) moment(class, label string, at time.Duration) {
	x := p.x(at)
	if x < p.Left || x > p.Right {
		return
	}
	for _, r := range p.Rules {
		if r.Class == class && math.Abs(r.X1-x) < p.Font*(0.45*float64(len(label)+len(r.Label))/2+0.5) {
			label = ""
		}
	}
	p.Rules = append(p.Rules, rule{Class: class, X1: x, Y1: p.Top, X2: x, Y2: p.Bottom, LabelX: x, LabelY: p.Top - 0.5*p.Font, Label: label})
}

// span shades a stretch of time, and names it at its foot where there is room.
func (p *plot) span(class, name string, from, to time.Duration) {
	x1, x2 := max(p.x(from), p.Left), min(p.x(to), p.Right)
	if x2-x1 < 1 {
		return
	}
	if 0.6*p.Font*float64(len(name)) > x2-x1 {
		name = ""
	}
	p.Bands = append(p.Bands, band{class, x1, p.Top, x2 - x1, p.Bottom - p.Top, name})
}

// What the templates work out from a layout.

func (p *plot) InnerWidth() float64  { return hundredths(p.Right - p.Left) }
func (p *plot) InnerHeight() float64 { return hundredths(p.Bottom - p.Top) }
func (p *plot) TickX() float64       { return hundredths(p.Left - 0.5*p.Font) }
func (p *plot) TickY() float64       { return hundredths(p.Bottom + 1.3*p.Font) }
func (p *plot) NameY() float64       { return hundredths(p.Top - 0.6*p.Font) }
func (p *plot) FootY() float64       { return hundredths(p.Bottom + 2.6*p.Font) }
func (p *plot) NameX() float64       { return hundredths(p.Right - 0.3*p.Font) }

func (b band) MidX() float64  { return hundredths(b.X + b.W/2) }
func (b band) FootY() float64 { return hundredths(b.Y + b.H - 6) }

// Upright reports whether the rule is a moment and not a level.
func (r rule) Upright() bool { return r.X1 == r.X2 }

// Anchor says where a rule's label is anchored.
func (r rule) Anchor() string {
	if r.Upright() {
		return "middle"
	}
	return "end"
}
