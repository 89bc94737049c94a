package syrup

// Colour is what dry melted sugar looks like around a temperature.
type Colour struct {
	Name       string
	FromC, ToC float64 // °C where this colour is expected
	Tasting    string  // what it tastes of
}

// Colours of a dry melt by temperature: H. McGee, On Food and Cooking, 2004
// (light, medium, dark, black); taste is common practice, no source.
var colours = []Colour{
	{Name: "clear", FromC: 0, ToC: 160, Tasting: "sweet"},
	{Name: "straw", FromC: 160, ToC: 170, Tasting: "sweet, mild"},
	{Name: "amber", FromC: 170, ToC: 182, Tasting: "caramel"},
	{Name: "dark", FromC: 182, ToC: 193, Tasting: "bitter-sweet"},
	{Name: "smoking", FromC: 193, ToC: 205, Tasting: "burnt"},
	{Name: "black", FromC: 205, ToC: 400, Tasting: "burnt, thrown away"},
}

// ColourUncertainty is how far, in K, the temperature of a colour strays
// between published charts and with the heating rate: "burnt" ranges from
// 177 to 210 °C. A colour by temperature is a hint; the eye decides.
const ColourUncertainty = 10.0

// ColourAt returns the colour expected at tC and those that the uncertainty
// also allows; likely, least and most are the same far from a border.
func ColourAt(tC float64) (likely, least, most Colour) {
	return colourAt(tC), colourAt(tC - ColourUncertainty), colourAt(tC + ColourUncertainty)
}

func colourAt(tC float64) Colour {
	for _, c := range colours {
		if tC < c.ToC {
			return c
		}
	}
	return colours[len(colours)-1]
}
