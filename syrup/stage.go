package syrup

import "strings"

// Stage is a named texture of boiled sugar by its boiling temperature at sea
// level, °F as the tables print it. The range in use is the one that two
// published tables share; Low and High are how far the others stray from it.
type Stage struct {
	Name         string
	FromF, ToF   float64 // °F at sea level: range in use
	LowF, HighF  float64 // °F at sea level: lowest and highest that any table read gives
	SugarPercent float64 // % sugar as the tables print it; 0 where none does
	Disagreement string  // what the tables disagree on, "" for nothing
	Caramel      bool    // a colour of melted sugar, with no water left to boil
}

// stages is read-only: Exploratorium (Science of Cooking: Candy), H. McGee, On
// Food and Cooking, 2004, and lecture charts of food science.
var stages = []Stage{
	{Name: "thread", FromF: 230, ToF: 235, LowF: 215, HighF: 235, SugarPercent: 80, Disagreement: "starts at 215, 223 or 230 °F by the table"},
	{Name: "soft ball", FromF: 235, ToF: 240, LowF: 234, HighF: 240, SugarPercent: 85},
	{Name: "firm ball", FromF: 245, ToF: 250, LowF: 242, HighF: 250, SugarPercent: 87, Disagreement: "242–248 °F in one chart; 240–245 °F belongs to no stage in the others"},
	{Name: "hard ball", FromF: 250, ToF: 265, LowF: 250, HighF: 266, SugarPercent: 92},
	{Name: "soft crack", FromF: 270, ToF: 290, LowF: 270, HighF: 290, SugarPercent: 95, Disagreement: "265–270 °F belongs to no stage"},
	{Name: "hard crack", FromF: 300, ToF: 310, LowF: 295, HighF: 310, SugarPercent: 99, Disagreement: "starts at 295 or 300 °F; its printed 99 % sugar is a rounded label for 97–98 %"},
	{Name: "light caramel", FromF: 329, ToF: 338, LowF: 320, HighF: 340, Caramel: true, Disagreement: "320–338 or 340 °F by the table"},
	{Name: "medium caramel", FromF: 355, ToF: 360, LowF: 350, HighF: 360, Caramel: true, Disagreement: "one chart calls 350 °F dark, another black"},
	{Name: "dark caramel", FromF: 375, ToF: 380, LowF: 350, HighF: 380, Caramel: true, Disagreement: "350–360 or 375–380 °F by the table; black begins at 350 or 410 °F"},
}

// Stages returns the stages from the coolest to the hottest.
func Stages() []Stage { return append([]Stage(nil), stages...) }

// StageFor returns the stage called name in any case, with or without hyphen,
// and whether there is one.
func StageFor(name string) (Stage, bool) {
	name = strings.ToLower(strings.TrimSpace(strings.ReplaceAll(name, "-", " ")))
	for _, s := range stages {
		if s.Name == name {
			return s, true
		}
	}
	return Stage{}, false
}

// StageAt returns the stage whose range in use holds the sea-level temperature
// seaLevelC, and whether there is one: two gaps belong to none. On a border it
// is the hotter stage.
func StageAt(seaLevelC float64) (Stage, bool) {
	f := seaLevelC*1.8 + 32
	for i := len(stages) - 1; i >= 0; i-- {
		// a thousandth of a degree forgives a conversion from °F and back
		if s := stages[i]; f >= s.FromF-1e-3 && f <= s.ToF+1e-3 {
			return s, true
		}
	}
	return Stage{}, false
}
