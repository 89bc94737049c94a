package syrup

import "strings"

// Ingredient is what 100 g of a food are made of, in grams, and how heavy a
// measure of it is.
type Ingredient struct {
	Name                           string  // as in a recipe file, lower case
	Source                         string  // where the composition was published
	Water, Fat, Protein, Carb, Ash float64 // g per 100 g
	MolG                           float64 // mean molar mass of the carbohydrate, g/mol; 0 is sucrose's
	GPerML                         float64 // density of a level measure, g/mL; 0 when unknown
	also                           []string
}

const (
	usda24     = "USDA SR24"
	usdaLegacy = "USDA SR28/Legacy; water and ash from memory"
)

// lactoseMolG is anhydrous lactose's molar mass, the same as sucrose's.
const lactoseMolG = SucroseMolG

// ingredients is read-only. Cream is by its fat: see [Cream].
var ingredients = []Ingredient{
	{Name: "sugar", Source: usda24 + " 19335", Water: 0.02, Carb: 99.98, GPerML: 0.845, also: []string{"granulated sugar", "white sugar"}},
	{Name: "corn syrup", Source: usda24 + " 19350", Water: 22.81, Fat: 0.2, Carb: 76.79, Ash: 0.2, MolG: glucoseSyrupMolG, GPerML: 1.386, also: []string{"light corn syrup"}},
	{Name: "dark corn syrup", Source: usda24 + " 19349", Water: 22.01, Carb: 77.59, Ash: 0.4, MolG: glucoseSyrupMolG, GPerML: 1.386},
	{Name: "glucose syrup", Source: "42 DE, 43 °Bé, 80 % solids (from memory)", Water: 20, Carb: 80, MolG: glucoseSyrupMolG, GPerML: 1.42, also: []string{"glucose"}},
	{Name: "honey", Source: usda24 + " 19296", Water: 17.10, Protein: 0.3, Carb: 82.4, Ash: 0.2, MolG: 190, GPerML: 1.433},
	{Name: "maple syrup", Source: usda24 + " 19353", Water: 32.39, Protein: 0.04, Carb: 67.0, Ash: 0.57, GPerML: 1.331},
	{Name: "butter", Source: usda24 + " 01001", Water: 15.87, Fat: 81.11, Protein: 0.85, Carb: 0.06, Ash: 2.11, MolG: lactoseMolG, GPerML: 0.959, also: []string{"salted butter"}},
	{Name: "unsalted butter", Source: usda24 + " 01145", Water: 17.94, Fat: 81.11, Protein: 0.85, Carb: 0.06, Ash: 0.04, GPerML: 0.959, also: []string{"sweet butter"}},
	{Name: "milk", Source: usda24 + " 01077", Water: 88.13, Fat: 3.25, Protein: 3.15, Carb: 4.80, Ash: 0.67, GPerML: 1.03, also: []string{"whole milk"}},
	{Name: "evaporated milk", Source: usda24 + " 01153", Water: 74.04, Fat: 7.56, Protein: 6.81, Carb: 10.04, Ash: 1.55, GPerML: 1.066},
	{Name: "condensed milk", Source: usda24 + " 01095", Water: 27.16, Fat: 8.70, Protein: 7.91, Carb: 54.40, Ash: 1.83, GPerML: 1.293, also: []string{"sweetened condensed milk"}},
	{Name: "heavy cream", Source: usdaLegacy + " 01053", Water: 57.71, Fat: 36.08, Protein: 2.84, Carb: 2.74, Ash: 0.63, GPerML: 1.006, also: []string{"cream", "heavy whipping cream", "whipping cream"}},
	{Name: "light whipping cream", Source: usda24 + " 01052", Water: 63.50, Fat: 30.91, Protein: 2.17, Carb: 2.96, Ash: 0.46, GPerML: 1.01},
	{Name: "half-and-half", Source: usda24 + " 01049", Water: 80.57, Fat: 11.50, Protein: 2.96, Carb: 4.30, Ash: 0.67, GPerML: 1.02},
	{Name: "water", Source: "", Water: 100, GPerML: 0.998},
	{Name: "salt", Source: "sodium chloride, two ions a molecule", Ash: 100, GPerML: 1.217, also: []string{"table salt"}},
}

// glucoseSyrupMolG is the mean molar mass of a 42 DE syrup's solids, by the
// definition of the dextrose equivalent: 18016/DE.
const glucoseSyrupMolG = 18016.0 / 42

// Ingredients returns the foods known by name, the best known first.
func Ingredients() []Ingredient { return append([]Ingredient(nil), ingredients...) }

// IngredientFor returns the food called name in any case, and whether it is
// known.
func IngredientFor(name string) (Ingredient, bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	for _, in := range ingredients {
		if in.Name == name {
			return in, true
		}
		for _, a := range in.also {
			if a == name {
				return in, true
			}
		}
	}
	return Ingredient{}, false
}

// Cream returns cream with fatPercent of fat, 0–60 (clamped): a straight line
// through whole milk and heavy cream, which it gives exactly at 3.25 and
// 36.08 %. Published creams between them lie within 1 % of water of it.
func Cream(fatPercent float64) Ingredient {
	fatPercent = min(max(fatPercent, 0), 60)
	milk, _ := IngredientFor("milk")
	heavy, _ := IngredientFor("heavy cream")
	t := (fatPercent - milk.Fat) / (heavy.Fat - milk.Fat)
	between := func(a, b float64) float64 { return a + t*(b-a) }
	return Ingredient{
		Name: "cream", Source: "between USDA milk 01077 and heavy cream 01053 by fat",
		Water: between(milk.Water, heavy.Water), Fat: fatPercent,
		Protein: between(milk.Protein, heavy.Protein), Carb: between(milk.Carb, heavy.Carb), Ash: between(milk.Ash, heavy.Ash),
		GPerML: between(milk.GPerML, heavy.GPerML),
	}
}

// Mix returns g grams of the food. Protein and ash count as solute with the
// molar mass of the carbohydrate, which for milk comes out within 1 % of
// counting lactose and dissolved ions one by one; salt alone counts its ions.
func (in Ingredient) Mix(g float64) Mix {
	f := g / 100
	m := Mix{
		Water: in.Water * f, Fat: in.Fat * f, Protein: in.Protein * f, Ash: in.Ash * f,
		Solutes: (in.Protein + in.Carb + in.Ash) * f, MolG: in.MolG,
	}
	if in.Name == "salt" {
		m.MolG = 58.44 / 2
	}
	return m
}
