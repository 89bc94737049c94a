package syrup_test

import (
	"math"
	"testing"

	"boildown/syrup"
)

func TestIsobarIsTheCurve(t *testing.T) {
	for pPa := 70e3; pPa <= 105e3; pPa += 2500 {
		s := syrup.NewIsobar(pPa)
		if s != syrup.NewIsobar(pPa) {
			t.Fatal("two isobars of one pressure differ")
		}
		for th := 0.02; th < 60; th += 0.013 {
			tC := s.WaterBoils() + th
			z, slope := s.Ratio(tC)
			near(t, "z, relative", z/syrup.WaterRatio(tC, pPa), 1, 2e-5)
			near(t, "dz/dT, relative", slope/syrup.WaterRatioSlope(tC, pPa), 1, 3e-4)
			if z > 0.5 {
				near(t, "T(z)", s.Boils(z), tC, 1e-3)
			}
		}
		if z, slope := s.Ratio(s.WaterBoils()); !math.IsInf(z, 1) || !math.IsInf(slope, -1) {
			t.Errorf("at water's boiling point got %v, %v, want +Inf, −Inf", z, slope)
		}
		near(t, "T(+Inf)", s.Boils(math.Inf(1)), s.WaterBoils(), 0)
	}
	far := syrup.NewIsobar(30e3)
	z, _ := far.Ratio(80)
	near(t, "far from the stated pressures", z, syrup.WaterRatio(80, 30e3), 1e-12)
}

func BenchmarkWaterRatio(b *testing.B) {
	for b.Loop() {
		syrup.WaterRatio(104, 101325)
	}
}

func BenchmarkIsobarRatio(b *testing.B) {
	s := syrup.NewIsobar(101325)
	for b.Loop() {
		s.Ratio(104)
	}
}

func BenchmarkIsobarBoils(b *testing.B) {
	s := syrup.NewIsobar(101325)
	for b.Loop() {
		s.Boils(9)
	}
}

func BenchmarkNewIsobar(b *testing.B) {
	for b.Loop() {
		syrup.NewIsobar(101325)
	}
}

func BenchmarkSyrupBoils(b *testing.B) {
	for b.Loop() {
		syrup.SyrupBoils(9, 101325)
	}
}
