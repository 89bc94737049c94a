package main

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"boildown/plateau"
	"boildown/sessions"
	"boildown/syrup"
)

const plainRecipe = `name = "Test"
target = "235 °F"

[[melt]]
food = "sugar"
amount = "400 g"

[[cream]]
food = "cream"
fat = 36.08
amount = "480 g"
`

func mustParse(t *testing.T, text string) *recipe {
	t.Helper()
	r, bad := parseRecipe(text, "test.toml")
	if bad != nil {
		for _, p := range bad.Problems {
			t.Errorf("%v (%s)", p, p.Remedy)
		}
		t.FailNow()
	}
	return r
}

// TestRecipeBecomesABatch: the worked batch of testdata/physics/boiloff.csv.
func TestRecipeBecomesABatch(t *testing.T) {
	r := mustParse(t, plainRecipe)
	all := r.Batch.Melt.Add(r.Batch.Cream)
	for what, c := range map[string]struct{ got, want, tol float64 }{
		"water, g":   {all.Water, 277.0, 0.2}, // 0.08 g of it in the sugar
		"fat, g":     {all.Fat, 173.2, 0.1},
		"solutes, g": {all.Solutes, 429.8, 0.1},
		"target, °C": {float64(r.Target), (235 - 32) / 1.8, 1e-9},
		"open, °C":   {float64(r.DipOpen), (215 - 32) / 1.8, 1e-9},
		"close, °C":  {float64(r.DipClose), (210 - 32) / 1.8, 1e-9},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s: got %v, want %v", what, c.got, c.want)
		}
	}
	var cfg plateau.Config
	r.apply(&cfg)
	if cfg.Batch != r.Batch || cfg.DipOpen != r.DipOpen || cfg.DipClose != r.DipClose {
		t.Error("the config did not take the batch and the dip window")
	}
}

func TestRecipeTarget(t *testing.T) {
	sea := mustParse(t, plainRecipe)
	here := mustParse(t, strings.Replace(plainRecipe, "\n\n", "\ntarget_is = \"here\"\n\n", 1))
	sweet := mustParse(t, strings.Replace(plainRecipe, `target = "235 °F"`, `sweet = "dipping caramel"`, 1))
	denver := syrup.Pressure(1600)
	for _, c := range []struct {
		name string
		r    *recipe
		pPa  float64
		want float64 // °F, by the table of shifts
		says string
	}{
		{"sea level, pressure unknown", sea, 0, 235, "not shifted"},
		{"sea level at 1600 m", sea, denver, 224.8, "shifted by -10.2 °F"},
		{"here at 1600 m", here, denver, 235, "as this probe reads it here"},
		{"by the sweet at 1600 m", sweet, denver, 224.8, "dipping caramel"},
		{"by the sweet at sea level", sweet, syrup.StandardPressure, 235, "shifted by"},
	} {
		got, how := c.r.TargetAt(c.pPa)
		if math.Abs(got.F()-c.want) > 0.06 {
			t.Errorf("%s: %.2f °F, want %.1f", c.name, got.F(), c.want)
		}
		if !strings.Contains(how, c.says) {
			t.Errorf("%s: says %q, want it to say %q", c.name, how, c.says)
		}
	}
}

func TestRecipeAmounts(t *testing.T) {
	for _, c := range []struct {
		in      string
		density float64
		want    float64
	}{
		{"400 g", 0, 400}, {"400g", 0, 400}, {"1.5 kg", 0, 1500}, {"1 lb", 0, 453.59237}, {"16 oz", 0, 453.59237},
		{"2 cups", 0.845, 2 * 236.588 * 0.845}, {"1/2 cup", 1, 118.294}, {"1 1/2 cups", 1, 354.882}, {"1½ cup", 1, 354.882},
		{"½ tsp", 1.217, 3.0}, {"8 fl oz", 1, 236.588}, {"250 ml", 1.03, 257.5}, {"2 qt", 1, 1892.7}, {"3 tbsp.", 1, 44.36},
	} {
		got, how, err := parseAmount(c.in, c.density)
		if err != nil || math.Abs(got-c.want) > 1e-3*c.want {
			t.Errorf("%q: %v g, %v; want %v", c.in, got, err, c.want)
		}
		if (how == "") == (c.density != 0) {
			t.Errorf("%q: says %q of how a volume was weighed", c.in, how)
		}
	}
	for _, in := range []string{"", "g", "400", "-3 g", "0 g", "1,5 kg", "1e9 g", "4 stone", "1/0 cup", "NaN g", "Inf g", "1 cup", "1..2 g"} {
		if got, _, err := parseAmount(in, 0); err == nil {
			t.Errorf("%q passes for %v g", in, got)
		}
	}
}

// TestRecipeFaults: each fault is told with its line, its field and a remedy.
func TestRecipeFaults(t *testing.T) {
	swap := func(old, new string) string {
		if !strings.Contains(plainRecipe, old) {
			t.Fatalf("%q is not in the recipe", old)
		}
		return strings.Replace(plainRecipe, old, new, 1)
	}
	for _, c := range []struct {
		name, text   string
		line         int
		says, remedy string
	}{
		{"no name", swap(`name = "Test"`, ``), 0, "no name", `name = "Stall dip"`},
		{"unknown key", swap(`fat = 36.08`, `fatt = 36`), 10, "means nothing", `"fat"`},
		{"unknown key at the top", swap(`target =`, `targett =`), 2, "means nothing", `"target"`},
		{"unknown table", plainRecipe + "[pott]\nholds = \"2 L\"\n", 12, "means nothing", `"pot"`},
		{"target without unit", swap(`235 °F`, `235`), 2, "not a temperature", "235 °F"},
		{"target as a number", swap(`"235 °F"`, `235`), 2, "a number stands where text is wanted", "in quotes"},
		{"no endpoint at all", swap(`target = "235 °F"`, ``), 0, "how far to boil", "sweet"},
		{"target of no syrup", swap(`235 °F`, `235 °C`), 2, "no endpoint", "212 and 320"},
		{"target and sweet", swap(`target =`, "sweet = \"fudge\"\ntarget ="), 2, "both", "keep the one"},
		{"unknown sweet", swap(`target = "235 °F"`, `sweet = "fudje"`), 2, "no sweet", `"fudge"`},
		{"target_is neither", swap("\n\n", "\ntarget_is = \"moon\"\n\n"), 3, "neither", "sea-level"},
		{"amount without unit", swap(`"400 g"`, `"400"`), 6, "no unit", `amount = "400 g"`},
		{"amount as a number", swap(`"400 g"`, `400`), 6, "a number stands where text", "in quotes"},
		{"second table's amount", swap(`"480 g"`, `"480 q"`), 11, "not known", "2 cups"},
		{"unknown food", swap(`"sugar"`, `"sugr"`), 5, "not known", `"sugar"`},
		{"fat of sugar", swap("\"400 g\"\n", "\"400 g\"\nfat = 3\n"), 7, "fat is for cream", "made_of"},
		{"too fat", swap(`36.08`, `360`), 10, "not the fat", "carton"},
		{"own food that does not add up", swap(`fat = 36.08`, `made_of = { water = 10, fat = 20 }`), 10, "add up to 30", "label"},
		{"dip upside down", plainRecipe + "[dip]\nopen = \"90 °C\"\nclose = \"95 °C\"\n", 14, "closes at or above", "hotter"},
		{"pot of wood", plainRecipe + "[pot]\nmaterial = \"stel\"\n", 13, "not known", `"steel"`},
		{"pot without unit", plainRecipe + "[pot]\nholds = \"2\"\n", 13, "no unit", "1.9 L"},
		{"yield in quotes", swap("\n\n", "\nyield = \"many\"\n\n"), 3, "text stands where a number", "without quotes"},
		{"single brackets", swap("[[melt]]", "[melt]"), 4, "a table stands where a list", "[[melt]]"},
		{"not TOML", swap(`name = "Test"`, `name = Test`), 1, "", "quotes"},
		{"nothing to boil off", swap(`food = "cream"`, "food = \"sugar\"") /* and fat */, 10, "fat is for cream", ""},
		{"no water", "name = \"x\"\ntarget = \"150 °C\"\n[[melt]]\nfood = \"sugar\"\namount = \"1 kg\"\n", 0, "no water", "cream"},
		{"nothing melted", "name = \"x\"\ntarget = \"113 °C\"\n[[cream]]\nfood = \"cream\"\namount = \"1 kg\"\n", 0, "nothing to melt", "[[melt]]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, bad := parseRecipe(c.text, "test.toml")
			if bad == nil {
				t.Fatal("passes for a good recipe")
			}
			p := bad.Problems[0]
			if p.Line != c.line {
				t.Errorf("line %d, want %d", p.Line, c.line)
			}
			if !strings.Contains(p.String(), c.says) {
				t.Errorf("says %q, want it to say %q", p, c.says)
			}
			if p.Remedy == "" || !strings.Contains(p.Remedy, c.remedy) {
				t.Errorf("remedy %q, want it to say %q", p.Remedy, c.remedy)
			}
		})
	}
}

func TestRecipeTellsAllFaultsAtOnce(t *testing.T) {
	text := strings.NewReplacer(`235 °F`, `235`, `400 g`, `400`, `fat = 36.08`, `fat = 99`).Replace(plainRecipe)
	_, bad := parseRecipe(text, "test.toml")
	if bad == nil || len(bad.Problems) != 3 {
		t.Fatalf("got %v, want three problems", bad)
	}
	if !strings.Contains(bad.Error(), "2 more") {
		t.Errorf("%q hides the other two", bad)
	}
}

// TestRecipeCannotDriveTheTerminal: escape sequences in any text are taken out.
func TestRecipeCannotDriveTheTerminal(t *testing.T) {
	const evil = `\u001b]0;owned\u0007\u001b[2Jx\u202e\u009b31m`
	text := strings.Replace(plainRecipe, `"Test"`, `"Test `+evil+`"`, 1)
	text = strings.Replace(text, "\n\n", "\nabout = \""+evil+"\"\nnotes = \""+evil+"\"\nyield_of = \""+evil+"\"\n\n", 1)
	r := mustParse(t, text)
	for _, s := range []string{r.Name, r.About, r.Notes, r.YieldOf} {
		if strings.ContainsFunc(s, sessions.Unsafe) {
			t.Errorf("%q can drive a terminal", s)
		}
	}
	_, bad := parseRecipe(strings.Replace(text, `"sugar"`, `"`+evil+`"`, 1), "test.toml")
	if bad == nil || strings.ContainsFunc(bad.Error(), sessions.Unsafe) {
		t.Errorf("the error %q can drive a terminal", bad)
	}
}

// TestRecipeHelpNamesEveryKey keeps the help in step with the file.
func TestRecipeHelpNamesEveryKey(t *testing.T) {
	help := recipeCommand().Long
	for _, table := range []any{recipeFile{}, dipTable{}, potTable{}, partTable{}, madeOfTable{}} {
		for _, key := range keysOf(reflect.TypeOf(table), nil) {
			if !strings.Contains(help, key) {
				t.Errorf("the help leaves out %q", key)
			}
		}
	}
}

func TestRecipesBuiltIn(t *testing.T) {
	list := shelfOfRecipes()
	count := 0
	for _, e := range list {
		if e.From != fromBuiltIn {
			continue
		}
		count++
		if e.Err != nil {
			t.Errorf("%s: %v", e.Name, e.Err)
			continue
		}
		r := e.Recipe
		if !strings.Contains(r.About, "Invented") || !strings.Contains(r.Text, "invented market stall") {
			t.Errorf("%s does not say that it is invented", e.Name)
		}
		if r.Batch.PotJK == 0 || r.Yield == 0 {
			t.Errorf("%s leaves out pot or yield", e.Name)
		}
		if room := r.Pot.HoldsML / r.finishedML(); room < 3 {
			t.Errorf("%s fills its pot to 1/%.1f, want a third at most", e.Name, room)
		}
	}
	if count < 3 {
		t.Errorf("%d built-in recipes", count)
	}
}

func TestLoadRecipe(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "mine.toml")
	if err := os.WriteFile(path, []byte(plainRecipe), 0o600); err != nil {
		t.Fatal(err)
	}
	if r, err := loadRecipe(path); err != nil || r.Name != "Test" || r.Text != plainRecipe {
		t.Errorf("by path: %v, %v", r, err)
	}
	if r, err := loadRecipe("stall-dip"); err != nil || r.Name != "Stall dip" {
		t.Errorf("by name: %v, %v", r, err)
	}
	big := filepath.Join(dir, "big.toml")
	if err := os.WriteFile(big, make([]byte, maxRecipeSize+1), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{filepath.Join(dir, "none.toml"), "stall-dap", big, dir + "/", ""} {
		if r, err := loadRecipe(name); err == nil {
			t.Errorf("%q loads as %v", name, r.Name)
		}
	}
}

// FuzzRecipe: no text makes the reader panic, and what passes is sound.
func FuzzRecipe(f *testing.F) {
	f.Add(plainRecipe)
	for _, e := range shelfOfRecipes() {
		if e.Recipe != nil {
			f.Add(e.Recipe.Text)
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, bad := parseRecipe(text, "fuzz.toml")
		if bad != nil {
			if len(bad.Problems) == 0 {
				t.Fatal("refused without a problem")
			}
			return
		}
		all := r.Batch.Melt.Add(r.Batch.Cream)
		if m := all.Mass(); !(m > 0) || math.IsInf(m, 0) || !(all.Moles() > 0) || strings.ContainsFunc(r.Name, sessions.Unsafe) {
			t.Fatalf("unsound recipe %+v", r)
		}
	})
}
