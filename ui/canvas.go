package ui

import (
	"strings"
	"unicode"

	"github.com/charmbracelet/lipgloss"
)

// cell is one place on the screen. A wide rune owns the cell after it, whose
// rune is then wideTail.
type cell struct {
	r    rune
	tail string // combining marks that belong to r
	st   style
}

const wideTail = -1

// canvas is a frame in the making. Everything is drawn into it, so nothing can
// be wider or taller than the window, and a style lasts exactly as long as
// its cells.
type canvas struct {
	w, h  int
	cells []cell
	ascii bool
}

func newCanvas(w, h int, ascii bool) *canvas {
	w, h = max(w, 0), max(h, 0)
	c := &canvas{w: w, h: h, cells: make([]cell, w*h), ascii: ascii}
	for i := range c.cells {
		c.cells[i].r = ' '
	}
	return c
}

// set puts one rune of width 1. The rune 0 and places outside are left alone.
func (c *canvas) set(x, y int, r rune, st style) {
	if x < 0 || y < 0 || x >= c.w || y >= c.h || r == 0 {
		return
	}
	at := y*c.w + x
	if c.cells[at].r == wideTail && x > 0 {
		c.cells[at-1].r, c.cells[at-1].tail = ' ', ""
	}
	if x+1 < c.w && c.cells[at+1].r == wideTail {
		c.cells[at+1].r = ' '
	}
	c.cells[at] = cell{r: r, st: st}
}

// at returns the rune at a place, ' ' outside.
func (c *canvas) at(x, y int) rune {
	if x < 0 || y < 0 || x >= c.w || y >= c.h {
		return ' '
	}
	return c.cells[y*c.w+x].r
}

// fill gives a rectangle a style and empties it.
func (c *canvas) fill(x, y, w, h int, st style) {
	for j := y; j < y+h; j++ {
		for i := x; i < x+w; i++ {
			c.set(i, j, ' ', st)
		}
	}
}

// text writes s and returns the column after it. What does not fit is cut.
func (c *canvas) text(x, y int, st style, s string) int {
	return c.textTo(x, y, c.w, st, s)
}

// textTo writes s up to the column before end.
func (c *canvas) textTo(x, y, end int, st style, s string) int {
	end = min(end, c.w)
	last := -1
	for _, r := range s {
		if c.ascii {
			if r == '°' {
				continue
			}
			r = toASCII(r)
		}
		w := 1
		if r >= 0x300 {
			w = lipgloss.Width(string(r))
		}
		if w == 0 || unicode.Is(unicode.Mn, r) {
			if last >= 0 && y >= 0 && y < c.h {
				c.cells[y*c.w+last].tail += string(r)
			}
			continue
		}
		if x+w > end {
			break
		}
		if x >= 0 && y >= 0 && y < c.h {
			c.set(x, y, r, st)
			last = x
			if w == 2 {
				c.set(x+1, y, ' ', st)
				c.cells[y*c.w+x+1].r = wideTail
			}
		}
		x += w
	}
	return x
}

// right writes s so that it ends before column end.
func (c *canvas) right(end, y int, st style, s string) {
	c.text(max(end-textWidth(s, c.ascii), 0), y, st, s)
}

// centre writes s in the middle of the columns from x to x+w.
func (c *canvas) centre(x, y, w int, st style, s string) {
	c.textTo(x+max(w-textWidth(s, c.ascii), 0)/2, y, x+w, st, s)
}

// textWidth is the number of columns that s takes.
func textWidth(s string, ascii bool) int {
	if ascii {
		s = strings.ReplaceAll(s, "°", "")
	}
	return lipgloss.Width(s)
}

// wrap breaks a text between words into lines of at most w columns. A word
// that is longer than a line stays whole, to be cut where it is drawn.
func wrap(s string, w int, ascii bool) []string {
	var out []string
	line, width := "", 0
	for _, word := range strings.Fields(s) {
		n := textWidth(word, ascii)
		if line != "" && width+1+n > w {
			out = append(out, line)
			line, width = "", 0
		}
		if line != "" {
			line += " "
			width++
		}
		line += word
		width += n
	}
	return append(out, line)
}

// render writes the canvas as lines. One style run costs one escape sequence.
func (c *canvas) render(p *palette, invert bool) string {
	codes := &p.on
	if invert {
		codes = &p.inverted
	}
	var b strings.Builder
	b.Grow(len(c.cells)*2 + 1024)
	for y := range c.h {
		if y > 0 {
			b.WriteByte('\n')
		}
		row := c.cells[y*c.w : (y+1)*c.w]
		if codes[plain] == "" {
			row = trimmed(row, codes)
		}
		on := ""
		for _, cl := range row {
			if cl.r == wideTail {
				continue
			}
			if code := codes[cl.st]; code != on {
				if on != "" {
					b.WriteString("\x1b[0m")
				}
				b.WriteString(code)
				on = code
			}
			if c.ascii {
				cl.r, cl.tail = toASCII(cl.r), ""
			}
			b.WriteRune(cl.r)
			b.WriteString(cl.tail)
		}
		if on != "" {
			b.WriteString("\x1b[0m")
		}
	}
	return b.String()
}

// trimmed leaves off the blanks at a line's end that no style makes visible.
func trimmed(row []cell, codes *[styleCount]string) []cell {
	for len(row) > 0 && row[len(row)-1].r == ' ' && codes[row[len(row)-1].st] == "" {
		row = row[:len(row)-1]
	}
	return row
}

// asciiFor draws the same picture without UTF-8.
var asciiFor = map[rune]rune{
	'█': '#', '▀': '"', '▄': '_', '▒': ':', '░': '.', '▓': '%',
	'─': '-', '━': '=', '│': '|', '┃': '|', '╌': '-', '┊': ':', '╎': ':', '┤': '|', '┼': '+', '├': '|', '┬': '+', '└': '+', '┘': '+', '┌': '+', '┐': '+', '┴': '+',
	'╭': '+', '╮': '+', '╰': '+', '╯': '+', '╴': '-', '╶': '-',
	'·': '.', '•': 'o', '●': 'O', '○': 'o', '×': 'x', '–': '-', '—': '-', '…': '.', '’': '\'',
	'◀': '<', '▶': '>', '▲': '^', '▼': 'v', '△': '^', '▽': 'v', '✓': '+', '→': '>', '←': '<', '↑': '^', '↓': 'v', '›': '>', '‖': '|', '±': '~', '⅕': '5',
	'é': 'e', 'è': 'e', 'ê': 'e', 'ë': 'e', 'à': 'a', 'â': 'a', 'ä': 'a', 'á': 'a', 'å': 'a', 'ç': 'c', 'î': 'i', 'ï': 'i', 'í': 'i', 'ô': 'o', 'ö': 'o', 'ó': 'o', 'ø': 'o', 'û': 'u', 'ü': 'u', 'ú': 'u', 'ù': 'u', 'ñ': 'n', 'ß': 's',
}

func toASCII(r rune) rune {
	if r < 0x7f {
		return r
	}
	if a, ok := asciiFor[r]; ok {
		return a
	}
	return '?'
}
