package syrup_test

import (
	"testing"

	"boildown/syrup"
)

func TestStagesAgainstPublishedTables(t *testing.T) {
	for _, r := range table(t, "stages.csv") {
		s, ok := syrup.StageFor(r["stage"])
		if !ok {
			t.Errorf("%q is not known", r["stage"])
			continue
		}
		from, to := r.num(t, "from_f"), r.num(t, "to_f")
		if from < s.LowF || to > s.HighF {
			t.Errorf("%s, %s: %v–%v °F lies outside the stated %v–%v", r["source"], s.Name, from, to, s.LowF, s.HighF)
		}
		if r["source"] == "Exploratorium" {
			near(t, s.Name+" from", s.FromF, from, 0)
			near(t, s.Name+" to", s.ToF, to, 0)
			near(t, s.Name+" % sugar", s.SugarPercent, r.num(t, "percent"), 0)
		}
		if r["source"] == "McGee 2004" && s.Name != "thread" {
			near(t, s.Name+" from", s.FromF, from, 0)
			near(t, s.Name+" to", s.ToF, to, 0)
		}
		if (s.LowF < s.FromF-2 || s.HighF > s.ToF+2) && s.Disagreement == "" {
			t.Errorf("%s: the tables disagree and nothing says so", s.Name)
		}
	}
}

// TestStagesAgainstTheCurve: the curve's sugar percentage at a stage's own
// temperatures holds the printed percentage, or comes within 1.3 %.
func TestStagesAgainstTheCurve(t *testing.T) {
	for _, s := range syrup.Stages() {
		if s.Caramel {
			continue
		}
		low := syrup.SugarPercent(syrup.WaterRatio(celsius(s.FromF), syrup.StandardPressure))
		high := syrup.SugarPercent(syrup.WaterRatio(celsius(s.ToF), syrup.StandardPressure))
		if s.SugarPercent < low-1.3 || s.SugarPercent > high+1.3 {
			t.Errorf("%s: printed %v %%, by the curve %.1f–%.1f %%", s.Name, s.SugarPercent, low, high)
		}
	}
}

func TestStageAt(t *testing.T) {
	for f, want := range map[float64]string{
		229: "", 232: "thread", 235: "soft ball", 239: "soft ball", 242: "", 247: "firm ball", 250: "hard ball",
		267: "", 280: "soft crack", 305: "hard crack", 335: "light caramel", 500: "",
	} {
		s, ok := syrup.StageAt(celsius(f))
		if s.Name != want || ok != (want != "") {
			t.Errorf("StageAt(%v °F) = %q, %v, want %q", f, s.Name, ok, want)
		}
	}
	if s, ok := syrup.StageFor(" Soft-Ball "); !ok || s.Name != "soft ball" {
		t.Errorf("StageFor with hyphen and capitals = %v, %v", s, ok)
	}
}

// TestColours: McGee's light, medium and dark caramel, black from 205 °C.
func TestColours(t *testing.T) {
	for tC, want := range map[float64]string{150: "clear", 167: "straw", 175: "amber", 189: "dark", 200: "smoking", 210: "black", 900: "black"} {
		if got, _, _ := syrup.ColourAt(tC); got.Name != want {
			t.Errorf("ColourAt(%v) = %s, want %s", tC, got.Name, want)
		}
	}
	_, least, most := syrup.ColourAt(179)
	if least.Name != "straw" || most.Name != "dark" {
		t.Errorf("at 179 °C between %s and %s, want straw and dark", least.Name, most.Name)
	}
}
