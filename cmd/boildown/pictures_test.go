package main

import (
	"flag"
	"fmt"
	"html"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	uv "github.com/charmbracelet/ultraviolet"
	"github.com/charmbracelet/x/vt"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
	"boildown/sessions"
	"boildown/ui"
)

var pictures = flag.Bool("pictures", false, "write the README's pictures anew")

// TestPictures cooks the simulated batch, looks at the screen at the moments
// that the README shows, and with -pictures writes what it sees:
//
//	go test ./cmd/boildown -run Pictures -args -pictures
func TestPictures(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, height int
		says          string // must be on the picture
		when          func(a plateau.Advice, since time.Duration) bool
	}{
		{"stall", 120, 40, "[stall]", func(a plateau.Advice, since time.Duration) bool {
			return a.Phase == plateau.Stall && since > 2*time.Minute && a.Forecast.Ok()
		}},
		{"melt", 80, 24, "colour by heat: amber", func(a plateau.Advice, _ time.Duration) bool {
			return a.Phase == plateau.Melt && a.Now > 172 && a.HasDark && a.Standing.Has(plateau.Sample)
		}},
		{"cream", 80, 24, "of cream, then wait", func(a plateau.Advice, since time.Duration) bool {
			return a.Phase == plateau.Cream && since > 25*time.Second && a.Standing.Has(plateau.AddCream) && !a.Standing.Has(plateau.BoilOver)
		}},
		{"pull", 80, 24, "Pull the pot", func(a plateau.Advice, _ time.Duration) bool { return a.Standing.Has(plateau.PullNow) }},
		{"dip", 80, 24, "[dip]", func(a plateau.Advice, since time.Duration) bool {
			return a.Phase == plateau.Dip && since > 8*time.Second
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			hist, snap, cfg := cookUntil(t, c.when)
			frame := func(depth ui.Depth) string {
				m := ui.NewLive(ui.Config{Name: "Stall dip (invented)", Unit: probe.UnitF, Depth: depth, Fold: cfg}, hist, still(snap), nil)
				return ui.Frame(m, c.width, c.height)
			}
			if text := frame(ui.NoStyle); !strings.Contains(text, c.says) {
				t.Errorf("the picture does not say %q:\n%s", c.says, text)
			}
			svg := drawSVG(frame(ui.Colour256), c.width, c.height)
			if !strings.Contains(svg, "<text") || !strings.HasSuffix(svg, "</svg>\n") {
				t.Error("the picture is empty")
			}
			if !*pictures {
				return
			}
			dir := filepath.Join("..", "..", "testdata", "pictures")
			if err := os.MkdirAll(dir, 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, c.name+".svg"), []byte(svg), 0o644); err != nil {
				t.Fatal(err)
			}
		})
	}
}

// still is a feed that does not move.
type still ui.Snapshot

func (s still) Snapshot() ui.Snapshot { return ui.Snapshot(s) }

// cookUntil cooks the simulated batch by its own cook until the moment.
func cookUntil(t *testing.T, when func(a plateau.Advice, since time.Duration) bool) (*ui.History, ui.Snapshot, plateau.Config) {
	t.Helper()
	cfg := new(sourceFlags).potBase(freshConfig())
	state, hist := plateau.Start(cfg), ui.NewHistory()
	p, cook := pot.New(pot.DefaultConfig()), pot.NewCook()
	hand := pot.NewHand(p)
	var phase plateau.Phase
	var began time.Duration
	var a plateau.Advice
	step := func(in plateau.Input) {
		in = sessions.Rounded(in)
		state, a = plateau.Step(state, in)
		hist.Add(in, a)
		for prompt := range a.Began.All {
			cook.Hear(prompt.String())
			hand.Heard(prompt.String(), a.CreamG)
		}
	}
	for at := time.Duration(0); at < time.Hour; at += time.Second {
		hand.Move()
		p.Advance(at)
		r := p.Read()
		step(plateau.Reading(r))
		if a.Phase != phase {
			phase, began = a.Phase, at
		}
		if when(a, at-began) {
			return hist, ui.Snapshot{At: at, Advice: a, Linked: true, Recording: true, Demo: true, Speed: 1}, cfg
		}
		if word := cook.Watch(at, r, p.Look()); word != "" {
			hand.Told(word)
			if m, ok := plateau.MarkFor(word); ok {
				step(plateau.Input{Kind: plateau.Marked, At: at, Mark: m})
			}
		}
	}
	t.Fatal("the moment never came")
	return nil, ui.Snapshot{}, cfg
}

// The size of a character cell in the picture, px.
const cellW, cellH = 8, 17

// blocks are drawn as shapes rather than letters, so that the large figures
// have no gaps in any font: part of the cell from its top, and its shade.
var blocks = map[string]struct{ from, to, shade float64 }{
	"█": {0, 1, 1}, "▀": {0, 0.5, 1}, "▄": {0.5, 1, 1}, "░": {0, 1, 0.25}, "▒": {0, 1, 0.5}, "▓": {0, 1, 0.75},
}

// drawSVG draws a frame with its escapes as a self-contained picture.
func drawSVG(frame string, width, height int) string {
	em := vt.NewEmulator(width, height)
	em.WriteString(strings.ReplaceAll(frame, "\n", "\r\n"))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" font-family="ui-monospace, 'DejaVu Sans Mono', Menlo, Consolas, monospace" font-size="13" shape-rendering="crispEdges">`+"\n", width*cellW+16, height*cellH+16)
	fmt.Fprintf(&b, `<rect width="100%%" height="100%%" rx="6" fill="%s"/>`+"\n", hex(ground))
	for y := range height {
		for x := 0; x < width; {
			x += drawRun(&b, em, x, y, width)
		}
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// drawRun draws the cells from x on that look alike and returns their number.
func drawRun(b *strings.Builder, em *vt.Emulator, x, y, width int) int {
	first := cellAt(em, x, y)
	_, solid := blocks[first.Content]
	text, n := "", 0
	for ; x+n < width; n++ {
		c := cellAt(em, x+n, y)
		_, block := blocks[c.Content]
		if !c.Style.Equal(&first.Style) || block != solid || block && c.Content != first.Content {
			break
		}
		text += c.Content
	}
	fg, bg := colours(first.Style)
	px, py := 8+x*cellW, 8+y*cellH
	if bg != ground {
		fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`+"\n", px, py, n*cellW, cellH, hex(bg))
	}
	if s := blocks[first.Content]; solid {
		fmt.Fprintf(b, `<rect x="%d" y="%g" width="%d" height="%g" fill="%s" fill-opacity="%g"/>`+"\n", px, float64(py)+s.from*cellH, n*cellW, (s.to-s.from)*cellH, hex(fg), s.shade)
	} else if strings.TrimSpace(text) != "" {
		bold := ""
		if first.Style.Attrs&uv.AttrBold != 0 {
			bold = ` font-weight="bold"`
		}
		fmt.Fprintf(b, `<text x="%d" y="%d" fill="%s"%s textLength="%d" xml:space="preserve">%s</text>`+"\n", px, py+13, hex(fg), bold, n*cellW, html.EscapeString(text))
	}
	return n
}

func cellAt(em *vt.Emulator, x, y int) uv.Cell {
	if c := em.CellAt(x, y); c != nil && c.Content != "" {
		return *c
	}
	return uv.Cell{Content: " ", Width: 1}
}

// The picture's own colours, where the program leaves them to the terminal.
var ground, ink = color.RGBA{0x16, 0x18, 0x1d, 0xff}, color.RGBA{0xd8, 0xda, 0xdf, 0xff}

func colours(s uv.Style) (fg, bg color.RGBA) {
	fg, bg = ink, ground
	if s.Fg != nil {
		fg = rgba(s.Fg)
	}
	if s.Bg != nil {
		bg = rgba(s.Bg)
	}
	if s.Attrs&uv.AttrReverse != 0 {
		fg, bg = bg, fg
	}
	return fg, bg
}

func rgba(c color.Color) color.RGBA {
	r, g, b, _ := c.RGBA()
	return color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 0xff}
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
