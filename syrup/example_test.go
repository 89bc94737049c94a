package syrup_test

import (
	"fmt"

	"boildown/syrup"
)

// A caramel at 235 °F still holds a sixth of its solids' weight in water.
func Example() {
	z := syrup.WaterRatio((235-32)/1.8, syrup.StandardPressure)
	fmt.Printf("%.1f %% sugar, %.0f g water per kg of solids\n", syrup.SugarPercent(z), 1000*syrup.WaterPerSolids(z))
	// Output: 83.9 % sugar, 192 g water per kg of solids
}

// The endpoint of a dipping caramel in a town at 1600 m.
func ExampleShiftTarget() {
	here := syrup.ShiftTarget((235-32)/1.8, syrup.Pressure(1600))
	fmt.Printf("235 °F at sea level is %.0f °F here\n", here*1.8+32)
	// Output: 235 °F at sea level is 225 °F here
}

func ExampleWaterBoils() {
	fmt.Printf("%.1f °C at sea level, %.1f °C at 3000 m\n",
		syrup.WaterBoils(syrup.StandardPressure), syrup.WaterBoils(syrup.Pressure(3000)))
	// Output: 100.0 °C at sea level, 90.0 °C at 3000 m
}

// The long stall and the fast climb of 400 g sugar with 480 g heavy cream.
func ExampleBoiling() {
	sugar, _ := syrup.IngredientFor("sugar")
	pot := syrup.Boiling{
		Mix:        sugar.Mix(400).Add(syrup.Cream(36).Mix(480)),
		PotJK:      500, // 1 kg of steel
		PowerW:     600,
		PressurePa: syrup.StandardPressure,
	}
	for _, f := range []float64{220, 235} {
		fmt.Printf("%.0f °F: %.1f °F/min\n", f, pot.Slope((f-32)/1.8)*60*1.8)
	}
	// Output:
	// 220 °F: 0.7 °F/min
	// 235 °F: 4.4 °F/min
}

// How much warm cream may go at once into sugar at 170 °C.
func ExamplePortion_Largest() {
	p := syrup.Portion{CpJGK: 3.27, Water: 0.577, CreamC: 80, FloorC: 150, BoilsC: 100}
	fmt.Printf("%.1f g\n", p.Largest(1420, 170, 0))
	// Output: 18.6 g
}
