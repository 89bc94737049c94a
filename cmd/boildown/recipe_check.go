package main

import (
	"fmt"
	"math"
	"strings"

	"boildown/probe"
	"boildown/sessions"
	"boildown/syrup"
)

// recipeChecker turns a file into a recipe and gathers what is wrong with it.
type recipeChecker struct {
	text     string
	problems []problem
}

func (c *recipeChecker) wrong(key []string, remedy, format string, args ...any) {
	c.problems = append(c.problems, problem{
		Line: lineOf(c.text, key...), Field: strings.ReplaceAll(strings.Join(key, " "), "#", ""),
		What: fmt.Sprintf(format, args...), Remedy: remedy,
	})
}

// parseRecipe reads a recipe file's text; from is what errors call it.
func parseRecipe(text, from string) (*recipe, *recipeError) {
	f, problems := decodeRecipe(text)
	c := &recipeChecker{text: text, problems: problems}
	r := &recipe{Text: text, From: from}
	if len(problems) == 0 || f.Name != "" {
		c.words(f, r)
		c.endpoint(f, r)
		c.texture(f, r)
		c.dip(f, r)
		c.pot(f, r)
		c.parts(f, r)
		r.Batch = r.batch()
		c.boils(r)
	}
	if len(c.problems) > 0 {
		return nil, &recipeError{From: from, Problems: c.problems}
	}
	return r, nil
}

// printable takes out of s all that could drive a terminal, line by line.
func printable(s string) string {
	lines := strings.Split(strings.TrimSpace(s), "\n")
	for i, l := range lines {
		lines[i] = probe.Printable(strings.TrimRight(l, "\r "))
	}
	return strings.Join(lines, "\n")
}

func (c *recipeChecker) words(f recipeFile, r *recipe) {
	r.Name = strings.ReplaceAll(printable(f.Name), "\n", " ")
	r.About, r.Notes = printable(f.About), printable(f.Notes)
	r.Yield, r.YieldOf = f.Yield, strings.ReplaceAll(printable(f.YieldOf), "\n", " ")
	if r.YieldOf == "" {
		r.YieldOf = "pieces"
	}
	if n := len([]rune(r.Name)); n == 0 || n > 60 {
		c.wrong([]string{"name"}, `write one of up to 60 letters: name = "Stall dip"`, "the recipe has no name, or a very long one")
	}
	if f.Yield < 0 || f.Yield > 10000 {
		c.wrong([]string{"yield"}, "write how many pieces the batch makes: yield = 24", "%d is no number of pieces", f.Yield)
	}
}

func (c *recipeChecker) texture(f recipeFile, r *recipe) {
	if f.Texture == "" {
		return
	}
	t, err := sessions.TextureFor(f.Texture)
	if err != nil {
		c.wrong([]string{"texture"}, `write what the sweet shall be like once cold: texture = "chewy"`, "%v", err)
	}
	r.Texture = t
}

func (c *recipeChecker) endpoint(f recipeFile, r *recipe) {
	r.AtSeaLevel = true
	switch {
	case f.Target == "" && f.Sweet == "":
		c.wrong([]string{"target"}, `write target = "235 °F", or sweet = "dipping caramel"`, "nothing says how far to boil")
	case f.Target != "" && f.Sweet != "":
		c.wrong([]string{"sweet"}, "keep the one that you mean and take the other out", "target and sweet both say how far to boil")
	case f.Sweet != "":
		sweet, ok := syrup.SweetFor(f.Sweet)
		if !ok {
			c.wrong([]string{"sweet"}, didYouMean(strings.ToLower(f.Sweet), syrup.SweetNames()), "%q is no sweet with a known endpoint", f.Sweet)
		}
		if f.TargetIs != "" {
			c.wrong([]string{"target_is"}, "take target_is out: a sweet's endpoint is always a sea-level figure", "target_is goes with target, not with sweet")
		}
		r.Sweet, r.Target = sweet, probe.Celsius(sweet.TargetC()).Rounded()
	default:
		target, err := probe.ParseTemp(f.Target)
		switch {
		case err != nil:
			c.wrong([]string{"target"}, `write it with its unit: target = "235 °F"`, "%q is not a temperature with a unit", f.Target)
		case target < 100 || target > 160:
			c.wrong([]string{"target"}, "a syrup's endpoint lies between 100 and 160 °C, 212 and 320 °F", "%s is no endpoint of a boiling syrup", f.Target)
		}
		r.Target = target
		switch strings.ToLower(f.TargetIs) {
		case "", "sea-level", "sea level":
		case "here":
			r.AtSeaLevel = false
		default:
			c.wrong([]string{"target_is"}, `write target_is = "sea-level" (the default) or target_is = "here"`, "%q is neither", f.TargetIs)
		}
	}
}

// The dip window and depth where a recipe is silent: common practice, no
// source, and our own choice.
const (
	defaultDipOpen  = "215F"
	defaultDipClose = "210F"
	defaultDipCM    = 2.5
)

func (c *recipeChecker) dip(f recipeFile, r *recipe) {
	r.Dips = f.Dip != dipTable{}
	read := func(key, text, fallback string) probe.Celsius {
		if text == "" {
			text = fallback
		}
		t, err := probe.ParseTemp(text)
		if err != nil || t < 30 || t > 130 {
			c.wrong([]string{"dip", key}, fmt.Sprintf("write it with its unit: %s = %q", key, fallback), "%q is no temperature to dip at", text)
		}
		return t
	}
	r.DipOpen, r.DipClose = read("open", f.Dip.Open, defaultDipOpen), read("close", f.Dip.Close, defaultDipClose)
	if r.DipOpen <= r.DipClose {
		c.wrong([]string{"dip", "close"}, "the pot cools through the window: open is the hotter end", "the window closes at or above the temperature where it opens")
	}
	r.DipDepthCM = defaultDipCM
	if f.Dip.Depth != "" {
		depth, err := parseWidth(f.Dip.Depth)
		if err != nil {
			c.wrong([]string{"dip", "depth"}, `write it like depth = "4 cm"`, "%v", err)
		}
		r.DipDepthCM = depth
	}
}

func (c *recipeChecker) pot(f recipeFile, r *recipe) {
	size := func(key, text, example string, parse func(string) (float64, error), most float64) float64 {
		if text == "" {
			return 0
		}
		n, err := parse(text)
		if err == nil && n > most {
			err = fmt.Errorf("%q is larger than any pot on a stove", text)
		}
		if err != nil {
			c.wrong([]string{"pot", key}, fmt.Sprintf("write it like %s = %q", key, example), "%v", err)
		}
		return n
	}
	r.Pot = pan{
		HoldsML:  size("holds", f.Pot.Holds, "1.9 L", parseVolume, 200e3),
		Grams:    size("weighs", f.Pot.Weighs, "1 kg", parseMass, 100e3),
		AcrossCM: size("across", f.Pot.Across, "16 cm", parseWidth, 100),
		Material: strings.ToLower(printable(f.Pot.Material)),
		NonStick: f.Pot.NonStick,
	}
	if _, ok := panMaterials[r.Pot.Material]; !ok && r.Pot.Material != "" {
		c.wrong([]string{"pot", "material"}, didYouMean(r.Pot.Material, panMaterialNames()), "the heat of a pot of %q is not known", r.Pot.Material)
	}
	r.Pot = r.Pot.fill()
}

func (c *recipeChecker) parts(f recipeFile, r *recipe) {
	for stage, tables := range [...][]partTable{inMelt: f.Melt, inCream: f.Cream, inAfter: f.After} {
		for i, t := range tables {
			key := []string{partStage(stage).String(), fmt.Sprintf("#%d", i+1)}
			if p, ok := c.part(t, key); ok {
				p.Stage = partStage(stage)
				p.WarmC = c.warm(t, p.Stage, key)
				r.Parts = append(r.Parts, p)
			}
		}
	}
}

// warm is how warm the cream goes in, °C; 0 when the file is silent.
func (c *recipeChecker) warm(t partTable, stage partStage, key []string) float64 {
	if t.Warm == "" {
		return 0
	}
	at := append(append([]string(nil), key...), "warm")
	v, err := probe.ParseTemp(t.Warm)
	switch {
	case stage != inCream:
		c.wrong(at, "leave it out: only the cream's matters", "warm says how warm the cream goes in")
	case err != nil:
		c.wrong(at, `write a temperature with its scale: warm = "140 °F"`, "%q is not a temperature", t.Warm)
	case v < 1 || v > 95:
		c.wrong(at, `write how warm the cream goes in: warm = "140 °F"`, "cream of %s would be frozen or boil over in the jug", t.Warm)
	default:
		return float64(v)
	}
	return 0
}

func (c *recipeChecker) part(t partTable, key []string) (part, bool) {
	at := func(field string) []string { return append(append([]string(nil), key...), field) }
	food, ok := c.food(t, at)
	if !ok {
		return part{}, false
	}
	grams, how, err := parseAmount(t.Amount, food.GPerML)
	switch {
	case err != nil:
		remedy := `write a weight or a volume: amount = "400 g", amount = "2 cups"`
		if food.GPerML == 0 {
			remedy = `write a weight: amount = "400 g"`
		}
		c.wrong(at("amount"), remedy, "%v", err)
		return part{}, false
	case grams > 100e3:
		c.wrong(at("amount"), "check the unit", "%q is more than 100 kg", t.Amount)
		return part{}, false
	}
	return part{Food: food, Grams: grams, AsIn: printable(t.Amount), How: how, Source: food.Source}, true
}

func (c *recipeChecker) food(t partTable, at func(string) []string) (syrup.Ingredient, bool) {
	name := strings.ReplaceAll(printable(t.Food), "\n", " ")
	food, known := syrup.IngredientFor(name)
	switch {
	case name == "":
		c.wrong(at("food"), `write food = "sugar"`, "nothing says what it is")
		return food, false
	case t.MadeOf != nil:
		return c.madeOf(name, *t.MadeOf, at)
	case !known:
		var names []string
		for _, in := range syrup.Ingredients() {
			names = append(names, in.Name)
		}
		c.wrong(at("food"), didYouMean(strings.ToLower(name), names)+" Or give its make-up: made_of = { water = 54, fat = 35, protein = 4, carbohydrate = 7 }", "what %q is made of is not known", name)
		return food, false
	case t.Fat == nil:
		return food, true
	case food.Name != "heavy cream":
		c.wrong(at("fat"), "take fat out, or give the whole make-up with made_of", "fat is for cream, not for %s", name)
		return food, false
	case !(*t.Fat >= 3 && *t.Fat <= 60):
		c.wrong(at("fat"), "write the percentage on the carton: fat = 36", "%v %% is not the fat of a cream", *t.Fat)
		return food, false
	}
	food = syrup.Cream(*t.Fat)
	food.Name = fmt.Sprintf("cream, %g %% fat", *t.Fat)
	return food, true
}

func (c *recipeChecker) madeOf(name string, m madeOfTable, at func(string) []string) (syrup.Ingredient, bool) {
	sum := m.Water + m.Fat + m.Protein + m.Carbohydrate + m.Ash
	if least := min(m.Water, m.Fat, m.Protein, m.Carbohydrate, m.Ash); !(math.Abs(sum-100) <= 5) || least < 0 {
		c.wrong(at("made_of"), "give grams in 100 g, as on the label; water is what is left", "the parts of 100 g add up to %.4g g", sum)
		return syrup.Ingredient{}, false
	}
	if m.GPerML != 0 && !(m.GPerML > 0.1 && m.GPerML < 5) {
		c.wrong(at("made_of"), "water is 1, sugar 0.85, honey 1.4", "%v g/mL is no density of a food", m.GPerML)
		return syrup.Ingredient{}, false
	}
	f := 100 / sum
	return syrup.Ingredient{
		Name: name, Source: "the recipe's own figures",
		Water: m.Water * f, Fat: m.Fat * f, Protein: m.Protein * f, Carb: m.Carbohydrate * f, Ash: m.Ash * f, GPerML: m.GPerML,
	}, true
}

// boils checks that there is something to boil: water over dissolved sugar.
func (c *recipeChecker) boils(r *recipe) {
	if len(c.problems) > 0 {
		return
	}
	all := r.Batch.Melt.Add(r.Batch.Cream)
	switch {
	case r.Batch.Melt.Solutes == 0:
		c.wrong([]string{"melt"}, "add what is melted first:\n[[melt]]\nfood = \"sugar\"\namount = \"400 g\"", "there is nothing to melt")
	case all.Water < 0.02*all.Solutes:
		c.wrong([]string{"cream"}, "add the cream, or the water of the wet method", "there is no water to boil off, so no boiling point to go by")
	case all.Solutes/all.Mass() < 0.1:
		c.wrong([]string{"melt"}, "check the amounts", "it holds next to no sugar")
	}
}
