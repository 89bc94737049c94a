package pot

import (
	"math"

	"boildown/syrup"
)

// hottest is where a boiling point is cut off, °C. Some published curves run
// away when the water is nearly gone.
const hottest = 200

// recommended is the curve taken when none is given.
type recommended struct{}

func (recommended) Boils(z, pPa float64) float64 { return syrup.SyrupBoils(z, pPa) }

// table holds boiling points at one pressure over the solutes' mole fraction,
// because solving the curve at each step would take most of the time.
type table struct {
	water float64 // boiling point of water, °C
	at    [tableLen]float64
}

const (
	tableLen = 200
	tableTop = 0.995 // mole fraction of the last entry
	tableGap = tableTop / (tableLen - 1)
)

func newTable(c Curve, pPa float64) *table {
	if c == nil {
		c = recommended{}
	}
	t := &table{water: syrup.WaterBoils(pPa)}
	t.at[0] = t.water
	for i := 1; i < tableLen; i++ {
		x := float64(i) * tableGap
		b := c.Boils((1-x)/x, pPa)
		if math.IsNaN(b) {
			b = hottest
		}
		t.at[i] = min(hottest, max(b, t.at[i-1]+1e-6))
	}
	return t
}

// boils returns the boiling point at the solutes' mole fraction x by a cubic
// through the four entries around it, and its slope with x.
func (t *table) boils(x float64) (tC, slope float64) {
	u := min(max(x, 0), tableTop) / tableGap
	i := min(max(int(u), 1), tableLen-3)
	f := u - float64(i)
	a, b, c, d := t.at[i-1], t.at[i], t.at[i+1], t.at[i+2]
	c1 := -a/3 - b/2 + c - d/6
	c2 := a/2 - b + c/2
	c3 := (d-a)/6 + (b-c)/2
	return b + f*(c1+f*(c2+f*c3)), (c1 + f*(2*c2+3*f*c3)) / tableGap
}
