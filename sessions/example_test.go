package sessions_test

import (
	"fmt"

	"boildown/plateau"
	"boildown/sessions"
)

// Read loads a batch; its inputs are all that the fold needs to cook it again.
func ExampleRead() {
	s, err := sessions.Read("../testdata/batches/v1.jsonl")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Title(), s.Label.Tags, s.Label.Outcome.TextureWord())
	n := 0
	for in := range s.Inputs() {
		if in.Kind == plateau.Measured {
			n++
		}
	}
	fmt.Println(n, "readings, the last input at", s.End())
	// Output:
	// first of the morning [fair copper pot] soft
	// 5 readings, the last input at 1m0.25s
}
