package ui

import "strings"

const glyphHeight = 6 // pixels; a pixel of scale 1 is half a terminal row

// glyphs are the large letters: six rows of pixels from the top down. Digits
// are of one width, so that a changing figure does not dance.
var glyphs = map[rune]string{
	'0': ".##. #..# #..# #..# #..# .##.",
	'1': "..#. .##. ..#. ..#. ..#. .###",
	'2': ".##. #..# ...# ..#. .#.. ####",
	'3': "###. ...# .##. ...# ...# ###.",
	'4': "..## .#.# #..# #### ...# ...#",
	'5': "#### #... ###. ...# ...# ###.",
	'6': ".##. #... ###. #..# #..# .##.",
	'7': "#### ...# ..#. ..#. .#.. .#..",
	'8': ".##. #..# .##. #..# #..# .##.",
	'9': ".##. #..# #..# .### ...# .##.",
	'A': ".##. #..# #..# #### #..# #..#",
	'B': "###. #..# ###. #..# #..# ###.",
	'C': ".### #... #... #... #... .###",
	'D': "###. #..# #..# #..# #..# ###.",
	'E': "#### #... ###. #... #... ####",
	'F': "#### #... ###. #... #... #...",
	'G': ".### #... #... #.## #..# .###",
	'H': "#..# #..# #### #..# #..# #..#",
	'I': "### .#. .#. .#. .#. ###",
	'J': "..## ...# ...# ...# #..# .##.",
	'K': "#..# #.#. ##.. ##.. #.#. #..#",
	'L': "#... #... #... #... #... ####",
	'M': "#...# ##.## #.#.# #.#.# #...# #...#",
	'N': "#..# ##.# ##.# #.## #.## #..#",
	'O': ".##. #..# #..# #..# #..# .##.",
	'P': "###. #..# #..# ###. #... #...",
	'Q': ".##. #..# #..# #..# #.#. .#.#",
	'R': "###. #..# #..# ###. #.#. #..#",
	'S': ".### #... .##. ...# ...# ###.",
	'T': "##### ..#.. ..#.. ..#.. ..#.. ..#..",
	'U': "#..# #..# #..# #..# #..# .##.",
	'V': "#...# #...# #...# .#.#. .#.#. ..#..",
	'W': "#...# #...# #.#.# #.#.# ##.## #...#",
	'X': "#..# #..# .##. .##. #..# #..#",
	'Y': "#...# #...# .#.#. ..#.. ..#.. ..#..",
	'Z': "#### ...# ..#. .#.. #... ####",
	'-': "... ... ... ### ... ...",
	'+': "... .#. ### .#. ... ...",
	'.': ". . . . . #",
	':': ". . # . # .",
	'!': "# # # # . #",
	'?': ".##. #..# ..#. ..#. .... ..#.",
	' ': ".. .. .. .. .. ..",
}

// largeWidth returns how many columns s takes in large letters.
func largeWidth(s string, scale int) int {
	w := 0
	for _, r := range s {
		if g, ok := glyphs[r]; ok {
			w += strings.IndexByte(g, ' ') + 1
		}
	}
	return max(w-1, 0) * scale
}

// largeHeight returns how many rows large letters take.
func largeHeight(scale int) int { return (glyphHeight*scale + 1) / 2 }

// largest returns the greatest scale, up to most, at which s fits the given
// columns and rows, and 0 when none does.
func largest(s string, most, cols, rows int) int {
	for scale := most; scale > 0; scale-- {
		if largeWidth(s, scale) <= cols && largeHeight(scale) <= rows {
			return scale
		}
	}
	return 0
}

// large draws s in large letters with its upper left corner at x, y and
// returns the column after it. Solid letters are filled with full blocks,
// hollow ones with a shade that shows without colour that they are stale.
func (c *canvas) large(x, y, scale int, st style, hollow bool, s string) int {
	for _, r := range s {
		g, ok := glyphs[r]
		if !ok {
			continue
		}
		rows := strings.Fields(g)
		for row := range largeHeight(scale) {
			for px := range rows[0] {
				up, down := pixel(rows, 2*row/scale, px), pixel(rows, (2*row+1)/scale, px)
				for i := range scale {
					c.set(x+px*scale+i, y+row, halfBlock(up, down, hollow), st)
				}
			}
		}
		x += (len(rows[0]) + 1) * scale
	}
	return x
}

func pixel(rows []string, y, x int) bool { return y < len(rows) && rows[y][x] == '#' }

// halfBlock returns 0, which draws nothing, for an empty cell.
func halfBlock(up, down, hollow bool) rune {
	switch {
	case up && down && hollow:
		return '▒'
	case up && down:
		return '█'
	case up:
		return '▀'
	case down:
		return '▄'
	}
	return 0
}
