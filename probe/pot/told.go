package pot

// turn is how far one turn of the knob takes the heat.
const turn = 0.7

// Told does what a cook's mark says, by its word in a session file, and
// reports whether the mark moves this pot.
func (p *Pot) Told(word string) bool {
	switch word {
	case "melt-start":
		p.on, p.off = true, false
	case "cream-start":
		p.on = true
		p.startCream()
	case "cream-end":
		p.endCream()
	case "heat-down":
		p.SetHeat(p.level * turn)
	case "heat-up":
		p.SetHeat(p.level / turn)
	case "pull":
		p.off = true
	case "back-on":
		p.on, p.off = true, false
	default:
		return false
	}
	return true
}

// Undo takes a mark back as far as a pot can: the heat goes back to where it
// was, the pot back on the hob or off it. Cream stays in.
func (p *Pot) Undo(word string) {
	switch word {
	case "melt-start":
		p.on = false
	case "cream-start":
		p.pouring = false
	case "heat-down", "heat-up":
		p.level = p.lastLevel
	case "pull":
		p.off = false
	case "back-on":
		p.off = true
	}
}

// SetHeat turns the knob to level, cut to 0–1.
func (p *Pot) SetHeat(level float64) {
	p.lastLevel = p.level
	p.level = min(max(level, 0), 1)
}

// Heat returns where the knob stands, 0–1.
func (p *Pot) Heat() float64 { return p.level }

// SetLid puts the lid on or takes it off.
func (p *Pot) SetLid(on bool) { p.lid = on }

// Look is what a cook sees in the pot.
type Look struct {
	Dry    float64 // share of the sugar still in crystals, 0–1
	Lumps  float64 // share of it seized, 0–1
	Colour string  // "pale", "straw", "amber", "dark", "black"
	Boils  bool    // the whole pot boils
	JugG   float64 // cream left in the jug, g
	OnHeat bool
}

// Look returns what a cook sees now.
func (p *Pot) Look() Look {
	l := Look{Boils: p.boiling, JugG: p.JugG(), OnHeat: p.OnHeat(), Colour: p.colour()}
	if all := p.crystals + p.liquid + p.lumps; all > 0 {
		l.Dry, l.Lumps = p.crystals/all, p.lumps/all
	}
	return l
}

// colour names the melt. In sugar heated by about 0.7 K/s the words come near
// McGee's temperatures (On Food and Cooking, 2004): light at 170 °C, medium at
// 180, dark at 190, black at 205.
func (p *Pot) colour() string {
	switch b := p.browned; {
	case b < 8:
		return "pale"
	case b < 40:
		return "straw"
	case b < 220:
		return "amber"
	case b < 1200:
		return "dark"
	}
	return "black"
}
