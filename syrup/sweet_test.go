package syrup_test

import (
	"testing"

	"boildown/syrup"
)

func TestEverySweetLiesInItsStage(t *testing.T) {
	for _, name := range syrup.SweetNames() {
		s, ok := syrup.SweetFor(name)
		if !ok {
			t.Errorf("%q is listed and not known", name)
			continue
		}
		if s.TargetF < s.Stage.FromF || s.TargetF > s.Stage.ToF {
			t.Errorf("%s: %v °F lies outside %s, %v–%v °F", name, s.TargetF, s.Stage.Name, s.Stage.FromF, s.Stage.ToF)
		}
		if s.Source == "" {
			t.Errorf("%s: no source", name)
		}
	}
	if s, ok := syrup.SweetFor("Dipping Caramel"); !ok || s.TargetF != 235 {
		t.Errorf("dipping caramel is %v, %v; want 235 °F", s.TargetF, ok)
	}
	for _, name := range []string{"dark caramel", "bread", ""} {
		if _, ok := syrup.SweetFor(name); ok {
			t.Errorf("%q passes for a sweet with an endpoint", name)
		}
	}
}
