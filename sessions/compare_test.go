package sessions

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
)

// Anscombe, "Graphs in Statistical Analysis", The American Statistician 27
// (1973): the first data set correlates with 0.816.
func TestCorrelationOfAnscombesFirstSet(t *testing.T) {
	x := []float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}
	y := []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}
	if got := correlation(x, y); math.Abs(got-0.816) > 0.0005 {
		t.Errorf("got %.4f, want 0.816", got)
	}
	if got := correlation(x, []float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}); got != 0 {
		t.Errorf("with something that does not vary: %g", got)
	}
}

// slowHands cooks the same batch with hands of different speed.
func slowHands(delays ...time.Duration) []*Session {
	var all []*Session
	for _, d := range delays {
		k := newKitchen(3)
		k.pot.Probe.Every = time.Second
		k.delay("pull", d)
		all = append(all, k.session())
	}
	return all
}

func TestCompareNamesWhatGoesWithTheOutcome(t *testing.T) {
	all := slowHands(0, 30*time.Second, time.Minute)
	c, err := Compare(all, AlignCreamEnd)
	if err != nil {
		t.Fatal(err)
	}
	if c.Outcome != "peak" {
		t.Errorf("outcome is %q, want the peak", c.Outcome)
	}
	var first []string
	for _, r := range c.Rows[:4] {
		first = append(first, r.Name)
	}
	if !slices.Contains(first, "pull after its prompt") || !slices.Contains(first, "peak") {
		t.Errorf("first come %q", first)
	}
	for i, texture := range []int{4, 5, 7} {
		all[i].Label.Outcome.Texture = texture
	}
	c, err = Compare(all, AlignCreamEnd)
	if err != nil || c.Outcome != "texture" || !slices.Equal(c.Rows[0].Values, []string{"chewy", "firm", "shatters"}) {
		t.Errorf("outcome %q, first row %+v, %v", c.Outcome, c.Rows[0], err)
	}
	var text strings.Builder
	if err := c.WriteText(&text); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(text.String(), "pull after its prompt") || !strings.Contains(text.String(), "differ by") {
		t.Error(text.String())
	}
}

func TestCompareAlignsTheCurves(t *testing.T) {
	all := slowHands(0, time.Minute)
	at := map[Align]plateau.Mark{AlignCreamEnd: plateau.MarkCreamEnd, AlignPull: plateau.MarkPull}
	for align, m := range at {
		c, err := Compare(all, align)
		if err != nil {
			t.Fatal(err)
		}
		for _, tr := range c.Tracks {
			want := courseOf(tr.Session).markAt(m)
			if !tr.Aligned || tr.Zero != want {
				t.Errorf("%v: zero at %v, want %v", align, tr.Zero, want)
			}
			i := slices.IndexFunc(tr.Points, func(p CurvePoint) bool { return p.At == 0 })
			if i < 0 || !tr.Points[i].OK {
				t.Errorf("%v: no reading at time 0", align)
			}
		}
	}
	if _, err := Compare(all[:1], AlignStall); err == nil {
		t.Error("compared one session")
	}
	c, err := Compare([]*Session{all[0], {}}, AlignStall)
	if err != nil || c.Tracks[1].Aligned || !c.Tracks[0].Aligned {
		t.Errorf("with an empty session: %v", err)
	}
	for _, a := range []Align{AlignCreamEnd, AlignStall, AlignPull, AlignStart} {
		if got, ok := AlignFor(a.String()); !ok || got != a {
			t.Errorf("AlignFor(%q) = %v, %v", a, got, ok)
		}
	}
}
