package sessions

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

func report(t *testing.T, all ...*Session) string {
	t.Helper()
	var page bytes.Buffer
	if err := WriteReport(&page, all, AlignCreamEnd, nil); err != nil {
		t.Fatal(err)
	}
	return page.String()
}

// hurtBatch is a batch that was pulled late, cooked once for all tests.
func hurtBatch() *Session {
	s := *hurtOnce()
	s.Records = slices.Clip(s.Records)
	return &s
}

var hurtOnce = sync.OnceValue(func() *Session {
	k := newKitchen(4)
	k.pot.Probe.Every = time.Second
	k.delay("pull", 40*time.Second)
	return k.session()
})

func TestReportStandsByItself(t *testing.T) {
	page := report(t, hurtBatch())
	for _, bad := range []string{"<script", "http:", "https:", "src=", "@import", "url(", "ZgotmplZ", "NaN", "Inf", "<no value>"} {
		if strings.Contains(page, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	for _, want := range []string{"over its target", "prefers-color-scheme:dark", "@media print", "pulled off the heat", "target 235.0 °F", "invented"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

func TestReportEscapesAll(t *testing.T) {
	s := hurtBatch()
	const evil = `"><script>alert(1)</script><svg onload=x>&{{.}}`
	s.Label = Label{Title: evil, Tags: []string{evil}, Note: evil, Outcome: Outcome{Text: evil}}
	s.Header.Recipe, s.Header.RecipeText, s.Header.Probe, s.Header.PressureFrom = evil, evil, evil, evil
	s.Notes = []string{evil}
	s.Records = append(s.Records, Record{Kind: InputRecord, Input: plateau.Input{Kind: plateau.Marked, At: s.End(), Mark: plateau.MarkNote, Text: evil}})
	for _, page := range []string{report(t, s), report(t, s, s)} {
		if strings.Contains(page, "<script") || strings.Contains(page, "<svg onload") {
			t.Error("text from a session stands raw in the page")
		}
	}
}

// The curve in the drawing is the session's: every used reading lies within
// half a unit of the path, on the axes that the page shows.
func TestCurveInTheDrawingIsTheSessions(t *testing.T) {
	s := hurtBatch()
	var drawing bytes.Buffer
	if err := WriteSVG(&drawing, []*Session{s}, AlignStart); err != nil {
		t.Fatal(err)
	}
	dec := xml.NewDecoder(bytes.NewReader(drawing.Bytes()))
	for {
		if _, err := dec.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("the drawing is not XML: %v", err)
		}
	}
	x := axis(t, drawing.String(), `<text x="([\d.]+)" y="[\d.]+" text-anchor="middle">([-\d.]+)</text>`)
	y := axis(t, drawing.String(), `<text x="[\d.]+" y="([\d.]+)" dy=".35em" text-anchor="end">([-\d.]+)</text>`)
	path := regexp.MustCompile(`<path class="curve" d="([^"]+)"`).FindStringSubmatch(drawing.String())[1]
	points := regexp.MustCompile(`[ML]([\d.]+) ([\d.]+)`).FindAllStringSubmatch(path, -1)
	if len(points) < 500 {
		t.Fatalf("%d points in the path", len(points))
	}
	c := courseOf(s)
	worst := 0.0
	for _, p := range points {
		minutes, degrees := x(number64(t, p[1])), y(number64(t, p[2]))
		near := math.Inf(1)
		for _, q := range c.points {
			if q.ok && math.Abs(q.at.Minutes()-minutes) < 1.5/60 {
				near = min(near, math.Abs(q.c.F()-degrees))
			}
		}
		worst = max(worst, near)
	}
	if worst > 0.5 {
		t.Errorf("a point of the path lies %.2f °F from any reading at its time", worst)
	}
}

// axis reads a scale back from its ticks: position to value.
func axis(t *testing.T, drawing, pattern string) func(float64) float64 {
	t.Helper()
	ticks := regexp.MustCompile(pattern).FindAllStringSubmatch(drawing, -1)
	if len(ticks) < 3 {
		t.Fatalf("%d ticks", len(ticks))
	}
	a, b := ticks[0], ticks[len(ticks)-1]
	p0, v0, p1, v1 := number64(t, a[1]), number64(t, a[2]), number64(t, b[1]), number64(t, b[2])
	return func(p float64) float64 { return v0 + (p-p0)*(v1-v0)/(p1-p0) }
}

func number64(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestCurveBreaksAtGaps(t *testing.T) {
	var points []CurvePoint
	for i := range 100 {
		p := CurvePoint{At: time.Duration(i) * time.Second, C: probe.Celsius(20 + i), OK: i < 30 || i >= 40}
		if i >= 60 && i < 70 {
			continue // nothing came
		}
		points = append(points, p)
	}
	p := newPlot("x", wide, probe.UnitC, 0, 100*time.Second, 0, 130)
	p.curve("curve", "", points)
	if n := strings.Count(p.Lines[0].Path, "M"); n != 3 {
		t.Errorf("the path is in %d pieces, want 3", n)
	}
}

func TestThinKeepsEveryPeak(t *testing.T) {
	var held []CurvePoint
	for i, c := range []probe.Celsius{5, 6, 9, 6, 1, 6, 7} {
		held = append(held, CurvePoint{At: time.Duration(i), C: c, OK: true})
	}
	got := ""
	for _, p := range thin(held) {
		got += fmt.Sprint(p.C, " ")
	}
	if got != "5 9 1 7 " {
		t.Errorf("kept %s", got)
	}
}

func TestTicksAreRound(t *testing.T) {
	for _, tt := range []struct {
		span float64
		n    int
		want float64
	}{{230, 8, 50}, {1, 10, 0.1}, {90, 10, 10}, {7, 5, 2}} {
		if got := niceStep(tt.span, tt.n); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("niceStep(%g, %d) = %g, want %g", tt.span, tt.n, got, tt.want)
		}
	}
}

func TestReportOfOddSessions(t *testing.T) {
	empty := &Session{}
	one := &Session{Records: []Record{{Kind: InputRecord, Input: plateau.Input{Kind: plateau.Measured, C: 20}}}}
	for _, all := range [][]*Session{{empty}, {one}, {empty, one}} {
		if page := report(t, all...); strings.Contains(page, "NaN") || strings.Contains(page, "Inf") {
			t.Error("a number in the page is none")
		}
	}
	if err := WriteReport(io.Discard, nil, AlignStart, nil); err == nil {
		t.Error("a report of nothing")
	}
}
