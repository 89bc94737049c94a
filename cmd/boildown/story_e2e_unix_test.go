//go:build unix

package main

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
)

// creamIn is what the screen says of the cream that is in the pot.
var creamIn = regexp.MustCompile(`in so far: about (\d+) of 480 g`)

// A whole batch by keys alone, from the plan to how it came out, and on to the
// next on the same recipe.
func TestWholeBatchByKeys(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plan := onScreen(t, 80, 100, false, "plan", "stall-dip", "--water-boils", "212F", "--dir", dir)
	if status := plan.ends(); status != 0 {
		t.Errorf("plan ended with status %d", status)
	}
	for _, want := range []string{"pull at     235.0 °F", "480 g       cream", "water boils at 212.0 °F", "[ ] 24 pretzel rods"} {
		if !strings.Contains(plan.text(), want) {
			t.Errorf("the plan does not say %q:\n%s", want, plan.text())
		}
	}

	s := onScreen(t, 120, 40, false, "cook", "--probe", "sim", "--recipe", "stall-dip", "--water-boils", "212F", "--speed", "30", "--dir", dir)
	s.sees("Stall dip", "[ready]", "Sugar in the pot")
	s.press("m")
	s.sees("[melt]", "Look at the melt")
	s.press("4") // clear
	s.sees("of cream, then wait", "it spits steam")
	s.press("c")
	s.sees("[cream]")
	s.waitFor("most of the cream", func() bool {
		m := creamIn.FindStringSubmatch(s.text())
		if m == nil {
			return false
		}
		g, _ := strconv.Atoi(m[1])
		return g > 330
	})
	s.press("v")
	s.sees("[stall]", "time left to 235 °F")
	s.sees("Turn the heat down")
	s.press("d")
	s.sees("Get ready to pull")
	s.sees("Pull the pot now")
	s.press("p")
	s.sees("[pulled]", "time to the dip")
	s.sees("Dip now", "[dip]")
	s.press("i")
	s.sees("1 dipped")
	s.sees("[done]", "Too cool to dip")
	s.press("o")
	s.sees("runny", "shatters", "in cold water")
	s.press("4sccw")
	s.sees("[x] chewy", "[x] coat: held on", "[x] colour: golden", "[x] in cold water: thread")
	s.press("\r")
	s.sees("kept how it came out")
	s.waitFor("the keys again", func() bool { return strings.Contains(s.text(), "x next batch") })
	s.press("x")
	s.sees("begin the next on the same recipe")
	s.press("\r")
	s.sees("[ready]", "0:0") // the next batch's clock
	s.press("m")
	s.sees("[melt]")
	s.press("q")
	s.sees("To end this batch type the word")
	s.press("end\r")
	if status := s.ends(); status != 0 {
		t.Errorf("cook ended with status %d", status)
	}
	s.restored()
	afterwards(t, dir)
}

// afterwards checks what the two batches left on the shelf.
func afterwards(t *testing.T, dir string) {
	t.Helper()
	list, err := sessions.List(dir)
	if err != nil || len(list) != 2 {
		t.Fatalf("%d batches on the shelf, error %v; want two", len(list), err)
	}
	first, next := list[0], list[1]
	if next.Start.Before(first.Start) {
		first, next = next, first
	}
	if first.Recipe != "Stall dip" || next.Recipe != first.Recipe {
		t.Errorf("batches of %q and %q, want one recipe", first.Recipe, next.Recipe)
	}
	if o := first.Label.Outcome; o.TextureWord() != "chewy" || o.Coat != "held" || o.Colour != "golden" || o.Water != "thread" {
		t.Errorf("the outcome on record is %+v", o)
	}
	// The keys of a machine at 30 times life come a second or two late.
	if over := float64(first.Peak-probe.Fahrenheit(235)) * 1.8; math.Abs(over) > 6 {
		t.Errorf("the pot peaked %+.1f °F from its target", over)
	}
	s, err := sessions.Read(first.Path)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range []plateau.Mark{
		plateau.MarkMeltStart, plateau.MarkLookClear, plateau.MarkCreamStart, plateau.MarkCreamEnd,
		plateau.MarkHeatDown, plateau.MarkPull, plateau.MarkDip,
	} {
		if !has(s, m) {
			t.Errorf("the mark %v is not on record", m)
		}
	}
	if got, want := traced(t, first.Path), spoken(s); len(want) < 10 || strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("trace says %q, the cook was told %q", got, want)
	}
}
