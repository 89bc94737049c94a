package syrup

import "strings"

// Sweet is something to cook, by the temperature that its sugar is boiled to.
type Sweet struct {
	Name    string
	TargetF float64 // °F at sea level
	Stage   Stage   // the stage that the target lies in
	Source  string
}

// TargetC returns the target in °C at sea level.
func (s Sweet) TargetC() (seaLevelC float64) { return (s.TargetF - 32) / 1.8 }

// sweets is read-only. A use without a figure of its own takes the middle of
// its stage.
var sweets = []struct {
	name, stage string
	targetF     float64 // 0 for the middle of the stage
	source      string
}{
	{"dipping caramel", "soft ball", 235, "common practice, no source"},
	{"caramel", "firm ball", 0, stageUse},
	{"soft caramel", "firm ball", 0, stageUse},
	{"fudge", "soft ball", 0, stageUse},
	{"fondant", "soft ball", 0, stageUse},
	{"nougat", "hard ball", 0, stageUse},
	{"marshmallow", "hard ball", 0, stageUse},
	{"taffy", "soft crack", 0, stageUse},
	{"butterscotch", "soft crack", 0, stageUse},
	{"toffee", "hard crack", 0, stageUse},
	{"brittle", "hard crack", 0, stageUse},
}

const stageUse = "usual for its stage (Exploratorium's table, uses from memory)"

// SweetFor returns the sweet or, by its own name, the stage called name, and
// whether there is one. The colours of melted sugar are none: they hold no
// water whose boiling could tell a temperature.
func SweetFor(name string) (Sweet, bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	for _, s := range sweets {
		if s.name != name {
			continue
		}
		stage, ok := StageFor(s.stage)
		sweet := Sweet{Name: s.name, TargetF: s.targetF, Stage: stage, Source: s.source}
		if sweet.TargetF == 0 {
			sweet.TargetF = (stage.FromF + stage.ToF) / 2
		}
		return sweet, ok
	}
	stage, ok := StageFor(name)
	if !ok || stage.Caramel {
		return Sweet{}, false
	}
	return Sweet{Name: stage.Name, TargetF: (stage.FromF + stage.ToF) / 2, Stage: stage, Source: "middle of the stage that two published tables share"}, true
}

// SweetNames returns every name that [SweetFor] knows, sweets before stages.
func SweetNames() []string {
	var names []string
	for _, s := range sweets {
		names = append(names, s.name)
	}
	for _, s := range stages {
		if !s.Caramel {
			names = append(names, s.Name)
		}
	}
	return names
}
