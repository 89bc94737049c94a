package plateau

// cusum is Page's two-sided cumulative sum (Biometrika 41:100, 1954) of
// standardised residuals z:
//
//	S⁺ = max(0, S⁺ + z − k),   S⁻ = max(0, S⁻ − z − k),   alarm above h
//
// It also keeps when each sum last stood at zero, which is the usual estimate
// of when the change happened.
type cusum struct {
	up, down           float64
	upSince, downSince float64 // s
	recent             float64 // mean of the last few residuals
}

// The allowance is half the shift, in standard deviations, that is caught
// soonest. With h = 5 and one residual a second a steady pot raises a false
// alarm, on either side, about every 8 minutes (two-sided average run length
// 465): cheap, since each alarm must then prove itself, and quick.
const (
	cusumAllowance = 0.5
	cusumLimit     = 5.0
	cusumLeastS    = 6.0 // a spoonful of the cool rim is over by then
)

// add takes the residual z at time at. It returns +1 when the readings have run
// ahead of the line for too long, −1 when they have fallen behind, with the
// time since when.
func (s *cusum) add(at, z float64) (dir int, since float64) {
	s.up = max(0, s.up+z-cusumAllowance)
	s.down = max(0, s.down-z-cusumAllowance)
	if s.up == 0 {
		s.upSince = at
	}
	if s.down == 0 {
		s.downSince = at
	}
	s.recent += (z - s.recent) / 3
	switch {
	case s.up > cusumLimit && s.recent > cusumAllowance && at-s.upSince > cusumLeastS:
		return +1, s.upSince
	case s.down > cusumLimit && s.recent < -cusumAllowance && at-s.downSince > cusumLeastS:
		return -1, s.downSince
	}
	return 0, 0
}

// reset begins both sums anew at time at.
func (s *cusum) reset(at float64) { *s = cusum{upSince: at, downSince: at} }

// doubt takes half of both sums back, after an alarm that proved nothing.
func (s *cusum) doubt() {
	s.up /= 2
	s.down /= 2
}

// change is a turn of the heat. The lines go on from it with their water ratio
// and their offset kept and the heat let go.
type change struct {
	at             float64 // s
	factor, spread float32 // what the heat becomes, relative to before
	floor          float32 // and by how much it is uncertain at least, per second
}

// changes are those that the line's delayed copy has not passed yet, in order
// of time. Once full, the newest gives way: the heat is open by then anyway.
type changes struct {
	n int
	c [6]change
}

func (s *changes) insert(c change) {
	if s.n == len(s.c) {
		s.n--
	}
	i := s.n
	for ; i > 0 && s.c[i-1].at > c.at; i-- {
		s.c[i] = s.c[i-1]
	}
	s.c[i] = c
	s.n++
}

// before drops the changes up to time at, which have been applied for good.
func (s *changes) before(at float64) {
	k := 0
	for k < s.n && s.c[k].at <= at {
		k++
	}
	copy(s.c[:], s.c[k:s.n])
	clear(s.c[s.n-k : s.n])
	s.n -= k
}

// What a turn of the heat makes of it. A cook's word tells the direction; the
// residuals tell it too, but only that it is large enough to be seen.
func marked(at float64, dir int) change {
	if dir < 0 {
		return change{at: at, factor: 0.65, spread: 0.25}
	}
	return change{at: at, factor: 1.45, spread: 0.4}
}

func unmarked(at float64, dir int) change {
	if dir < 0 {
		return change{at: at, factor: 0.75, spread: 0.35}
	}
	return change{at: at, factor: 1.3, spread: 0.4}
}
