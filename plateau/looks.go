package plateau

import (
	"time"
)

// looks paces the slow looks at the pot: at its phase, its prompts, its heat.
// Every reading is judged and kept, but what a kitchen calls for does not
// change within a second, save round the target and when something happens.
type looks struct {
	second time.Duration // of the newest reading
	due    bool          // one is to be taken at this input

	water    float64 // water's share of the whole mass, as of the last look
	hasWater bool
}

// mustLook reports whether a look is due at this input: it is the first of its
// second or of all, or not a plain reading, or the last one failed, or the pull
// is near.
func (s *State) mustLook(in *Input) bool {
	if in.Kind != Measured {
		return in.Kind != Marked || in.Mark != MarkNote // a note tells the fold nothing
	}
	second := in.At / time.Second
	first := second != s.looks.second
	s.looks.second = second // a mark's own look does not stand for that of its reading
	return first || s.recent.n == 0 || s.blind.on || s.pullIsNear()
}

// pullIsNear reports whether the pull may come within a few seconds.
func (s *State) pullIsNear() bool {
	const near = 2.0 // K
	switch p := s.cook.phase; p {
	case Wait, Cream, Stall, Climb:
		over := float64(s.potC) + s.rise()*secs(s.cfg.Reaction) - s.aim()
		return over > -near && (p >= Stall || over < near) // before, it may boil unseen; see mayBoil
	}
	return false
}
