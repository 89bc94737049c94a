package ui

import (
	"fmt"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// hero draws the temperature on the left and the time left on the right.
func (sc *scene) hero(cv *canvas, y int, p plan) {
	x := sc.figures(cv, 1, y, p) + 3
	w := cv.w - x - 1
	a := sc.snap.Advice
	switch {
	case a.Phase >= plateau.Pulled:
		sc.cooling(cv, x, y, w, p)
	case a.Forecast.Ok() && !p.timeBelow:
		sc.forecast(cv, x, y, w, p.hero, p.heroScale)
	case a.Phase == plateau.Cream && a.HasCream:
		sc.pouring(cv, x, y, w, p)
	case a.HasNow && a.Now > sc.target() && (a.Phase == plateau.Stall || a.Phase == plateau.Climb):
		sc.over(cv, x, y, w, p)
	default:
		if unknown := a.Phase == plateau.Stall || a.Phase == plateau.Climb; unknown && !p.timeBelow && p.hero >= 5 {
			end := cv.large(x, y, max(p.heroScale-1, 1), left, true, "?")
			w -= end + 1 - x
			x = end + 1
		}
		sc.list(cv, x, y, w, p.hero, sc.besides(w))
	}
}

// over says by how much the pot has passed the target: there is no time left
// to tell.
func (sc *scene) over(cv *canvas, x, y, w int, p plan) {
	by := probe.Delta(sc.snap.Advice.Now - sc.target())
	said := diff(by, sc.unit) + " over " + temp(sc.target(), sc.unit)
	if w < 30 {
		said = diff(by, sc.unit) + " over"
	}
	all := []string{said, sc.pacing(w)}
	if fig := "+" + fmt.Sprintf("%.0f", sc.unit.OfDelta(by)); p.hero >= 5 && largest(fig, 1, w-8, p.hero) > 0 {
		scale := largest(fig, max(p.heroScale-1, 1), w-8, p.hero-2)
		end := cv.large(x, y, scale, left, false, fig)
		cv.textTo(end+scale, y+largeHeight(scale)-1, x+w, left, sc.unit.String())
		y += largeHeight(scale)
		sc.list(cv, x, y, w, p.hero-largeHeight(scale), all)
		return
	}
	sc.list(cv, x, y, w, p.hero, all)
}

// list writes lines, the first of them strongly, as far as there is room.
func (sc *scene) list(cv *canvas, x, y, w, h int, all []string) {
	i := 0
	for k, s := range all {
		if s == "" {
			continue
		}
		for _, line := range wrap(s, w, cv.ascii) {
			if i == h {
				return
			}
			st := plain
			if k == 0 {
				st = strong
			}
			cv.textTo(x, y+i, x+w, st, line)
			i++
		}
	}
}

// figures draws the temperature: whole degrees as large as the plan allows,
// the tenth smaller, the unit beside it. Returns the column after it.
func (sc *scene) figures(cv *canvas, x, y int, p plan) int {
	a := sc.snap.Advice
	if !a.HasNow {
		x = cv.large(x, y, p.heroScale, stale, true, "---")
		return cv.text(x, y, stale, "none yet")
	}
	old := sc.readingOld()
	st := heat
	if old {
		st = stale
	}
	whole, tenth := digits(a.Now, sc.unit)
	x = cv.large(x, y, p.heroScale, st, old, whole)
	small := max(p.heroScale-1, 1)
	drop := p.hero - largeHeight(small)
	tx := cv.large(x, y+drop, small, st, old, "."+tenth)
	ux := x
	if drop == 0 {
		ux = tx
	}
	end := cv.text(ux, y, st, sc.unit.String())
	if old && drop > 1 {
		end = max(end, cv.text(ux, y+1, stale, "old"))
	}
	return max(tx, end)
}

// forecast fills a rectangle with how long is left: in figures as large as
// fit, in words, and as a shape. A low rectangle loses the small print.
func (sc *scene) forecast(cv *canvas, x, y, w, h, most int) {
	if h < 1 {
		return
	}
	f := sc.snap.Advice.Forecast
	r := remainingOf(f)
	scale := largest(r.figures(), max(most-1, 1), w-4, h)
	for scale > 1 && h-largeHeight(scale) < 3 {
		scale--
	}
	if scale == 0 {
		cv.textTo(x, y, x+w, left, r.words())
		if h > 1 {
			sc.spreadBar(cv, x, y+1, w, f)
		}
		return
	}
	room := h - largeHeight(scale)
	if room >= 2 {
		head := "time left to " + temp(sc.target(), sc.unit)
		if f.Guess {
			head = "a guess: " + head
		}
		cv.textTo(x, y, x+w, plain, head)
		y++
	}
	end := cv.large(x, y, scale, left, f.Guess, r.figures())
	cv.textTo(end+scale, y+largeHeight(scale)-1, x+w, left, r.unit)
	if room == 0 {
		// Beside the figures: the shape, and what it says in words.
		bx := end + len(r.unit) + 3
		cv.textTo(bx, y, x+w, plain, "likely "+r.likely+" "+r.unit)
		sc.spreadBar(cv, bx, y+1, x+w-bx, f)
		return
	}
	y += largeHeight(scale)
	if room >= 3 {
		cv.textTo(x, y, x+w, plain, "likely "+r.likely+" "+r.unit+", right 4 times in 5")
		y++
	}
	sc.spreadBar(cv, x, y, w, f)
}

// toGo says how far the pot is from the target and how fast it goes there.
func (sc *scene) toGo() string {
	a := sc.snap.Advice
	gap := probe.Delta(sc.target() - a.Now)
	s := diff(gap, sc.unit) + " to go"
	if gap < 0 {
		s = diff(-gap, sc.unit) + " over"
	}
	return s + ", " + rising(a.Slope, sc.unit)
}

// spreadBar draws a forecast on a line of time that starts now: the interval
// shaded, the likeliest moment solid, the far end named.
func (sc *scene) spreadBar(cv *canvas, x, y, w int, f plateau.Forecast) {
	span := niceSpan(latest(f))
	begin, end := "now ", " "+long(span)
	n := min(w-len(begin)-len(end), 48)
	if n < 8 {
		begin, end = "", ""
		n = w
	}
	if n < 4 {
		return
	}
	x = cv.text(x, y, faint, begin)
	at := func(d time.Duration) int { return min(int(int64(n)*int64(max(d, 0))/int64(span)), n-1) }
	for i := range n {
		r, st := '─', faint
		switch {
		case i == at(f.ETA):
			r, st = '█', left
		case i >= at(f.Low) && i <= at(f.High):
			r, st = '▒', left
		}
		cv.set(x+i, y, r, st)
	}
	cv.text(x+n, y, faint, end)
}

// niceSpan is the length of the time line: it changes rarely, so that the
// block is seen to come closer.
func niceSpan(d time.Duration) time.Duration {
	for _, s := range [...]time.Duration{time.Minute, 2 * time.Minute, 5 * time.Minute, 10 * time.Minute, 20 * time.Minute, 40 * time.Minute, time.Hour, 2 * time.Hour, 4 * time.Hour} {
		if d <= s {
			return s
		}
	}
	return 12 * time.Hour
}

// besides is what can be told while no time can be: why, how fast, how far.
func (sc *scene) besides(w int) []string {
	a := sc.snap.Advice
	var out []string
	short, full := whyWords(a.Why)
	melt := sc.melting(w)
	switch {
	case melt != nil:
		out = append(melt, "target "+temp(sc.target(), sc.unit))
	case a.Forecast.Ok():
		out = append(out, "to "+temp(sc.target(), sc.unit))
	case short == "":
		out = append(out, "target "+temp(sc.target(), sc.unit))
	case w < 30:
		out = append(out, short)
	default:
		out = append(out, "time left: "+short, full)
	}
	if !a.HasNow {
		return out
	}
	out = append(out, sc.pacing(w))
	out = append(out, creamLines(a)...)
	if gap := probe.Delta(sc.target() - a.Now); gap > 0 && a.Phase > plateau.Cream {
		out = append(out, diff(gap, sc.unit)+" to go")
	}
	return out
}

// melting is what counts in hot sugar: how long until it is too dark, and its
// colour as far as heat tells. It is nil where there is nothing of it to tell.
func (sc *scene) melting(w int) (out []string) {
	a := sc.snap.Advice
	c := plateau.MeltColour(a.Now)
	if a.Phase != plateau.Melt || !a.HasNow || c == "" {
		return nil
	}
	switch {
	case a.HasDark && a.Dark > 0:
		out = append(out, "too dark in "+long(a.Dark))
	case a.HasDark:
		out = append(out, "too dark")
	}
	if w < 30 {
		c, _, _ = strings.Cut(c, " (")
		out = append(out, c+" by heat")
	} else {
		out = append(out, "colour by heat: "+c)
	}
	return out
}

// pouring is what counts while the cream goes in: how much can go in now or how
// long to wait, and how much is in.
func (sc *scene) pouring(cv *canvas, x, y, w int, p plan) {
	a := sc.snap.Advice
	all, h := creamLines(a), p.hero
	head := "cream that can go in now"
	fig, unit, _ := strings.Cut(plateau.Spoons(a.CreamG), " ")
	if a.CreamG < 1 && !a.CreamAll {
		head = "no cream for about"
		fig, unit, _ = strings.Cut(long(a.CreamWait), " ")
	}
	some := a.CreamG >= 1 || a.CreamWait > 0
	if scale := largest(fig, max(p.heroScale-1, 1), w-4, h-2); h >= 5 && some && scale > 0 {
		cv.textTo(x, y, x+w, plain, head)
		end := cv.large(x, y+1, scale, left, false, fig)
		cv.textTo(end+scale, y+largeHeight(scale), x+w, left, unit)
		y, h, all = y+1+largeHeight(scale), h-1-largeHeight(scale), all[1:]
	}
	sc.list(cv, x, y, w, h, append(all, sc.pacing(w)))
}

// creamLines say how much cream can go in now or when, and how much is in by
// what the thermometer shows.
func creamLines(a plateau.Advice) []string {
	if !a.HasCream || a.Phase > plateau.Cream {
		return nil
	}
	out := []string{"cream now: " + plateau.Spoons(a.CreamG)}
	switch {
	case a.CreamAll:
		out[0] = "all of it is in, by the heat it took"
	case a.CreamG < 1 && a.CreamWait > 0:
		out[0] = "no cream for about " + long(a.CreamWait)
	case a.CreamG < 1:
		out[0] = "no cream now"
	}
	switch {
	case a.Phase != plateau.Cream:
	case a.CreamPlanG > 0:
		out = append(out, fmt.Sprintf("in so far: about %.0f of %.0f g", a.CreamInG, a.CreamPlanG))
	default:
		out = append(out, fmt.Sprintf("in so far: about %.0f g", a.CreamInG))
	}
	return out
}

// timed reports whether there is a time to tell: until the target, or until
// the dip begins or ends.
func (sc *scene) timed() bool {
	a := sc.snap.Advice
	if a.Phase >= plateau.Pulled {
		return a.HasDip && a.Phase <= plateau.Dip
	}
	return a.Forecast.Ok()
}

// timeBelow tells the time where the chart would be.
func (sc *scene) timeBelow(cv *canvas, x, y, w, h, most int) {
	if sc.snap.Advice.Phase < plateau.Pulled {
		sc.forecast(cv, x, y, w, h, most)
		return
	}
	head, fig, unit := sc.dipTime()
	if scale := largest(fig, most, w-4, h); scale > 0 {
		x = cv.large(x, y, scale, left, false, fig)
		y += largeHeight(scale) - 1
		x = cv.textTo(x+1, y, x+w, left, unit+" ")
	} else {
		x = cv.textTo(x, y, x+w, left, fig+" "+unit+" ")
	}
	cv.text(x, y, plain, head)
}

// dipTime is the time until the dip, or what is left of it.
func (sc *scene) dipTime() (head, figure, unit string) {
	a := sc.snap.Advice
	head, d := "to the dip", a.DipIn
	if a.Phase == plateau.Dip {
		head, d = "left to dip", a.DipLeft
	}
	figure, unit = countdown(d)
	return head, figure, unit
}

// cooling is what counts after the pull: the dip window, when it comes or how
// long it lasts, and the peak.
func (sc *scene) cooling(cv *canvas, x, y, w int, p plan) {
	a := sc.snap.Advice
	hot, cool := dip(a, sc.cfg.Fold)
	window := fmt.Sprintf("dip from %s down to %s", number(hot, sc.unit), temp(cool, sc.unit))
	if w < 24 {
		window = fmt.Sprintf("dip %s-%s", number(hot, sc.unit), number(cool, sc.unit))
	}
	h := p.hero
	if h >= 5 && a.HasDip && a.Phase <= plateau.Dip {
		head, fig, unit := sc.dipTime()
		scale := max(p.heroScale-1, 1)
		cv.textTo(x, y, x+w, plain, "time "+head)
		end := cv.large(x, y+1, scale, left, false, fig)
		cv.textTo(end+scale, y+largeHeight(scale), x+w, left, unit)
		y += 1 + largeHeight(scale)
		h -= 1 + largeHeight(scale)
	}
	sc.list(cv, x, y, w, h, []string{window, sc.dipped(w), sc.peak(w), sc.pacing(w)})
}

// dipped counts the pieces that the cook has marked, and how fast they went.
func (sc *scene) dipped(w int) string {
	if sc.hist == nil || sc.snap.Advice.Phase < plateau.Pulled {
		return ""
	}
	n := 0
	var first, last time.Duration
	for _, e := range sc.hist.Events(nil, sc.snap.At) {
		if e.Kind != EventMark || e.Mark != plateau.MarkDip {
			continue
		}
		if n == 0 {
			first = e.At
		}
		n, last = n+1, e.At
	}
	switch {
	case n == 0:
		return ""
	case n == 1 || w < 30:
		return fmt.Sprintf("%d dipped", n)
	}
	return fmt.Sprintf("%d dipped, one each %s", n, long((last-first)/time.Duration(n-1)))
}

// peak says how hot the pot became, beside the target where there is room.
func (sc *scene) peak(w int) string {
	a := sc.snap.Advice
	if a.Peak == 0 {
		return ""
	}
	if w < 30 {
		return "peak " + number(a.Peak, sc.unit)
	}
	s := "peak " + temp(a.Peak, sc.unit)
	over := probe.Delta(a.Peak - sc.target())
	if over < 0 {
		return s + ", " + diff(-over, sc.unit) + " below target"
	}
	return s + ", " + diff(over, sc.unit) + " above target"
}

// countdown is a time without a spread for the large letters.
func countdown(d time.Duration) (figure, unit string) {
	if d = max(d, 0); d < 100*time.Second {
		return fmt.Sprint(int(d.Seconds())), "sec"
	}
	return fmt.Sprint(int(d.Minutes() + 0.5)), "min"
}

// pacing says how fast the pot changes, in as many words as there is room for.
func (sc *scene) pacing(w int) string {
	if sc.readingOld() || sc.snap.Ended {
		return ""
	}
	s := rising(sc.snap.Advice.Slope, sc.unit)
	if len(s) > w {
		s = fmt.Sprintf("%+.1f a min", sc.unit.OfDelta(probe.Delta(sc.snap.Advice.Slope)))
	}
	return s
}
