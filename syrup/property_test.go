package syrup_test

import (
	"testing"

	"boildown/syrup"
)

// TestChoiOkos: specific heats at 20 °C, J/(g·K), after Choi & Okos 1986,
// computed by an independent program; creams and milk by their USDA rows.
func TestChoiOkos(t *testing.T) {
	for name, c := range map[string]struct {
		m    syrup.Mix
		want float64
	}{
		"water":        {syrup.Mix{Water: 1}, 4.1766},
		"protein":      {syrup.Mix{Solutes: 1, Protein: 1}, 2.0319},
		"fat":          {syrup.Mix{Fat: 1}, 2.0117},
		"carbohydrate": {syrup.Mix{Solutes: 1}, 1.5857},
		"ash":          {syrup.Mix{Solutes: 1, Ash: 1}, 1.1289},
	} {
		near(t, name, c.m.HeatCapacity(20), c.want, 6e-5)
	}
	cream := syrup.Cream(36.08).Mix(1)
	near(t, "cream at 20 °C", cream.HeatCapacity(20), 3.244, 6e-4)
	near(t, "cream at 60 °C", cream.HeatCapacity(60), 3.271, 6e-4)
	near(t, "cream at 100 °C", cream.HeatCapacity(100), 3.302, 6e-4)
	near(t, "cream, g/mL", cream.Density(20), 0.9859, 2e-4)
	milk, _ := syrup.IngredientFor("milk")
	near(t, "milk at 20 °C", milk.Mix(1).HeatCapacity(20), 3.894, 6e-4)
	near(t, "milk, g/mL", milk.Mix(1).Density(20), 1.0232, 2e-4)
}

// TestTextbookFood: Singh & Heldman's example food (composition from memory)
// has 2.14 J/(g·K) by their older rule and 2.342 by Choi and Okos at 20 °C.
func TestTextbookFood(t *testing.T) {
	food := syrup.Mix{Water: 0.25, Fat: 0.10, Protein: 0.20, Ash: 0.05, Solutes: 0.40 + 0.20 + 0.05}
	near(t, "cp", food.HeatCapacity(20), 2.342, 6e-4)
	near(t, "the older rule", 1.424*.40+1.549*.20+1.675*.10+0.837*.05+4.187*.25, 2.14, 0.01)
}

func TestSugarHeat(t *testing.T) {
	near(t, "crystal at 25 °C against NIST 1.240", syrup.CrystalSugarCp(25), 1.240, 0.005)
}

func TestUSDAComposition(t *testing.T) {
	for _, r := range table(t, "usda.csv") {
		in, ok := syrup.IngredientFor(r["name"])
		if !ok {
			t.Errorf("%q is not known", r["name"])
			continue
		}
		for key, got := range map[string]float64{"water": in.Water, "fat": in.Fat, "protein": in.Protein, "carb": in.Carb, "ash": in.Ash} {
			near(t, r["name"]+" "+key, got, r.num(t, key), 1e-9)
		}
	}
	for _, in := range syrup.Ingredients() {
		near(t, in.Name+": parts of 100 g", in.Water+in.Fat+in.Protein+in.Carb+in.Ash, 100, 0.25)
		near(t, in.Name+": mass of the mix", in.Mix(250).Mass(), 250, 0.7)
		if in.GPerML == 0 {
			t.Errorf("%s: no density, so no volume can be weighed", in.Name)
		}
	}
}

// TestCreamBetweenPublishedRows: by fat alone the water comes out within 1 g in
// 100 g of every published cream.
func TestCreamBetweenPublishedRows(t *testing.T) {
	for _, name := range []string{"milk", "half-and-half", "light whipping cream", "heavy cream"} {
		in, _ := syrup.IngredientFor(name)
		c := syrup.Cream(in.Fat)
		near(t, name+": water by fat", c.Water, in.Water, 1.05)
		near(t, name+": parts", c.Water+c.Fat+c.Protein+c.Carb+c.Ash, 100, 1e-9)
	}
}

func TestMixAdds(t *testing.T) {
	glucose, _ := syrup.IngredientFor("glucose syrup")
	sugar, _ := syrup.IngredientFor("sugar")
	a, b := sugar.Mix(300), glucose.Mix(100)
	sum := a.Add(b)
	near(t, "mass", sum.Mass(), 400, 1e-9)
	near(t, "moles", sum.Moles(), a.Moles()+b.Moles(), 1e-12)
	if sum.MolG < glucose.MolG*0.7 || sum.MolG > glucose.MolG {
		t.Errorf("molar mass %v lies outside its parts", sum.MolG)
	}
	near(t, "42 DE by its definition, g/mol", glucose.MolG, 429, 0.1)
	twice := sum.Scale(2)
	near(t, "twice as much boils the same", twice.WithWater(80).Boils(101325), sum.WithWater(40).Boils(101325), 1e-9)
	salt, _ := syrup.IngredientFor("Table Salt")
	near(t, "5 g salt, mol of ions", salt.Mix(5).Moles(), 10/58.44, 1e-9)
}
