package plateau

import "iter"

// Fold steps through inputs in order, beginning at s, and yields each with the
// advice that follows from it. It is [Step] over a whole batch, without the
// copy of the state that a value in and a value out cost at every step; s
// itself stays as it was.
func Fold(s State, inputs iter.Seq[Input]) iter.Seq2[Input, Advice] {
	return func(yield func(Input, Advice) bool) {
		now := s
		for in := range inputs {
			var a Advice
			if now.step(&in, &a); !yield(in, a) {
				return
			}
		}
	}
}
