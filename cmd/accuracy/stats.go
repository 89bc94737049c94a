package main

import (
	"math"
	"slices"
)

// quantile returns the q-quantile of v, NaN of nothing.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return nan
	}
	s := slices.Clone(v)
	slices.Sort(s)
	u := q * float64(len(s)-1)
	i := int(u)
	if i+1 >= len(s) {
		return s[i]
	}
	if math.IsInf(s[i+1], 0) {
		if u > float64(i) {
			return s[i+1]
		}
		return s[i]
	}
	return s[i] + (u-float64(i))*(s[i+1]-s[i])
}

func median(v []float64) float64 { return quantile(v, 0.5) }

// share returns the share of v for which is holds, NaN of nothing.
func share(v []float64, is func(float64) bool) float64 {
	if len(v) == 0 {
		return nan
	}
	n := 0
	for _, x := range v {
		if is(x) {
			n++
		}
	}
	return float64(n) / float64(len(v))
}

func mean(v []float64) float64 {
	if len(v) == 0 {
		return nan
	}
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s / float64(len(v))
}
