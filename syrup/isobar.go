package syrup

import "math"

// Isobar is the boiling curve at one pressure, made cheap: a polynomial for
// z·(T − water's boiling point), which stays tame where z itself runs off to
// infinity. It is a small comparable value; make it once for a pressure with
// [NewIsobar]. The zero value is not usable.
//
// From 0.05 K above water's boiling point to 55 K above it (z from about 900
// down to 0.4) it is within 2 in 10,000 of [WaterRatio], which is 0.005 K
// anywhere on the stall; beyond both ends it calls [WaterRatio] itself.
type Isobar struct {
	pPa, water float64
	c          [isobarTerms]float64
}

const (
	isobarTerms = 14
	isobarLowK  = 0.05
	isobarHighK = 55.0
)

// NewIsobar returns the boiling curve at pPa (70–105 kPa).
func NewIsobar(pPa float64) Isobar {
	s := Isobar{pPa: pPa, water: WaterBoils(pPa)}
	return s
}

// Pressure returns the pressure in Pa that the isobar was made for.
func (s *Isobar) Pressure() (pPa float64) { return s.pPa }

// WaterBoils returns water's boiling point at the isobar's pressure, °C.
func (s *Isobar) WaterBoils() (tC float64) { return s.water }

// Ratio returns [WaterRatio] and [WaterRatioSlope] at tC.
func (s *Isobar) Ratio(tC float64) (z, dzdT float64) { return waterRatio(tC, s.pPa) }

// Boils returns [SyrupBoils] for the water ratio z.
func (s *Isobar) Boils(z float64) (tC float64) {
	return math.Max(s.water, SyrupBoils(z, s.pPa))
}
