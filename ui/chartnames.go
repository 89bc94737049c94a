package ui

import (
	"math"
	"slices"

	"boildown/plateau"
)

// names of marks and prompts compete for room: the weightier are placed first.
func weight(m plateau.Mark) int {
	switch m {
	case plateau.MarkPull:
		return 0
	case plateau.MarkCreamStart, plateau.MarkHeatDown, plateau.MarkHeatUp, plateau.MarkBackOn:
		return 1
	case plateau.MarkCreamEnd, plateau.MarkDip, plateau.MarkMeltStart:
		return 2
	case plateau.MarkNote:
		return 4
	}
	return 3
}

// slots remembers which columns of a row are taken.
type slots []bool

// take claims w columns from i on, with one free to either side of them.
func (s slots) take(i, w int) bool {
	if i < 0 || i+w > len(s) {
		return false
	}
	for k := max(i-1, 0); k < min(i+w+1, len(s)); k++ {
		if s[k] {
			return false
		}
	}
	for k := i; k < i+w; k++ {
		s[k] = true
	}
	return true
}

// markNames writes the marks' names in the row under the chart.
func (sh *sheet) markNames(y int) {
	free := make(slots, sh.n+sideCols)
	marks := make([]Event, 0, len(sh.events))
	for _, e := range sh.events {
		if i := sh.colOf(e.At); e.Kind == EventMark && i >= 0 && i < sh.n {
			marks = append(marks, e)
		}
	}
	slices.SortStableFunc(marks, func(a, b Event) int { return weight(a.Mark) - weight(b.Mark) })
	for _, e := range marks {
		i, name := sh.colOf(e.At), "▲"+markShort(e.Mark)
		for _, w := range []int{textWidth(name, sh.cv.ascii), 1} {
			if free.take(i, w) {
				sh.cv.textTo(sh.x+i, y, sh.x+i+w, mark, name)
				break
			}
		}
	}
}

// promptNames writes at the top of the plot what was asked and when.
func (sh *sheet) promptNames() {
	free := make(slots, sh.n)
	before := map[plateau.Prompt]int{} // where the same name stands to the right
	for i := len(sh.events) - 1; i >= 0; i-- {
		e := sh.events[i]
		if e.Kind != EventPrompt || routine(e.Prompt) {
			continue
		}
		name := "▽" + promptShort(e.Prompt)
		at, w := sh.colOf(e.At), textWidth(name, sh.cv.ascii)
		if next, ok := before[e.Prompt]; ok && next-at < 3*w {
			continue
		}
		if at < 0 || !sh.empty(at, w, 0) || !free.take(at, w) {
			continue
		}
		before[e.Prompt] = at
		sh.cv.text(sh.x+at, sh.y, asked, name)
	}
}

// routine prompts come again and again and would crowd out the others.
func routine(p plateau.Prompt) bool {
	return p == plateau.Swirl || p == plateau.Sample || p == plateau.Stir
}

// ghostNames writes below them, faintly, what was shown then at another time.
func (sh *sheet) ghostNames() {
	free := make(slots, sh.n)
	for _, g := range sh.ghosts {
		if !g.then || g.at > sh.now || sh.s.rows < 6 {
			continue
		}
		name := "△" + promptShort(g.prompt) + " then"
		at, w := sh.colOf(g.at), textWidth(name, sh.cv.ascii)
		if at < 0 || !sh.empty(at, w, 1) || !free.take(at, w) {
			continue
		}
		sh.cv.text(sh.x+at, sh.y+1, faint, name)
	}
}

func (sh *sheet) empty(i, w, row int) bool {
	for k := i; k < i+w; k++ {
		if r := sh.cv.at(sh.x+k, sh.y+row); r != ' ' && r != '┊' {
			return false
		}
	}
	return true
}

// side names rows to the right of the plot, the weightiest first; what finds
// its row taken moves by one.
func (sh *sheet) side() {
	taken := make([]bool, sh.s.rows)
	put := func(row int, st style, s string) {
		for _, r := range []int{row, row - 1, row + 1} {
			if r >= 0 && r < len(taken) && !taken[r] {
				taken[r] = true
				sh.cv.textTo(sh.x+sh.n+1, sh.y+r, sh.x+sh.n+sideCols, st, s)
				return
			}
		}
	}
	put(sh.rowOf(float64(sh.target())), goal, "◀ target")
	if sh.advice.HasNow {
		put(sh.rowOf(float64(sh.advice.Now)), track, "◀ now")
	}
	if sh.pulledAt > 0 {
		put(sh.rowOf(float64(sh.dipOpen()+sh.dipClose())/2), asked, "▒ dip")
	}
	if sh.stall.ok && !math.IsNaN(sh.stallLo) && sh.close && sh.colOf(sh.stall.to) > sh.n/10 {
		put(sh.rowOf((sh.stallLo+sh.stallHi)/2), asked, "░ stall")
	}
}
