package main

import "math"

// solve solves the n×n symmetric system m·x = v by Gaussian elimination with
// pivoting, in place. It reports false when m is singular.
func solve(m [][]float64, v []float64) bool {
	n := len(v)
	for i := range n {
		p := i
		for r := i + 1; r < n; r++ {
			if math.Abs(m[r][i]) > math.Abs(m[p][i]) {
				p = r
			}
		}
		if math.Abs(m[p][i]) < 1e-12 {
			return false
		}
		m[i], m[p], v[i], v[p] = m[p], m[i], v[p], v[i]
		for r := i + 1; r < n; r++ {
			f := m[r][i] / m[i][i]
			for k := i; k < n; k++ {
				m[r][k] -= f * m[i][k]
			}
			v[r] -= f * v[i]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			v[i] -= m[i][k] * v[k]
		}
		v[i] /= m[i][i]
	}
	return true
}

// polynomial fits c to powers of t up to degree by least squares, t counted
// from t0.
func polynomial(rows []row, t0 float64, degree int) ([]float64, bool) {
	n := degree + 1
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	v := make([]float64, n)
	count := 0
	for _, r := range rows {
		if !r.ok {
			continue
		}
		count++
		p := [3]float64{1, r.at - t0, (r.at - t0) * (r.at - t0)}
		for i := range n {
			v[i] += p[i] * r.c
			for k := range n {
				m[i][k] += p[i] * p[k]
			}
		}
	}
	if count < n+1 || !solve(m, v) {
		return nil, false
	}
	return v, true
}

// lastOf returns the rows of the last seconds up to row i.
func lastOf(rows []row, i int, seconds float64) []row {
	j := i
	for j > 0 && rows[j-1].at >= rows[i].at-seconds {
		j--
	}
	return rows[j : i+1]
}

// straight extrapolates a straight line through the last seconds. NaN is no
// answer.
func straight(rows []row, i int, seconds, target float64) float64 {
	v, ok := polynomial(lastOf(rows, i, seconds), rows[i].at, 1)
	if !ok || v[1] <= 0 {
		return nan
	}
	return (target - v[0]) / v[1]
}

// quadratic extrapolates a parabola through the last seconds.
func quadratic(rows []row, i int, seconds, target float64) float64 {
	v, ok := polynomial(lastOf(rows, i, seconds), rows[i].at, 2)
	if !ok {
		return nan
	}
	a, b, c := v[2], v[1], v[0]-target
	if math.Abs(a) < 1e-12 {
		if b <= 0 {
			return nan
		}
		return -c / b
	}
	d := b*b - 4*a*c
	if d < 0 {
		return nan
	}
	// The first time ahead at which the parabola comes up through the target.
	if t := (-b + math.Sqrt(d)) / (2 * a); t > 0 {
		return t
	}
	return nan
}

// wrong is a forecast's error as a share of the time left. No answer, and one
// that has run out, are 100 % wrong.
func wrong(eta, left float64) float64 {
	if math.IsNaN(eta) || math.IsInf(eta, 0) || eta <= 0 {
		return 1
	}
	return math.Abs(eta-left) / left
}
