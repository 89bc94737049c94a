package main

import (
	"fmt"
	"strings"
)

// problem is one thing wrong with a recipe file.
type problem struct {
	Line   int    // 0 when it is nowhere in particular
	Field  string // "" when no field is to blame
	What   string
	Remedy string
}

func (p problem) String() string {
	var b strings.Builder
	if p.Line > 0 {
		fmt.Fprintf(&b, "line %d: ", p.Line)
	}
	if p.Field != "" {
		fmt.Fprintf(&b, "%s: ", p.Field)
	}
	return b.String() + p.What
}

// recipeError is all that is wrong with one recipe file.
type recipeError struct {
	From     string
	Problems []problem
}

func (e *recipeError) Error() string {
	s := fmt.Sprintf("recipe %s: %s", e.From, e.Problems[0])
	if n := len(e.Problems) - 1; n > 0 {
		s += fmt.Sprintf(" (and %d more: boildown recipe check shows all)", n)
	}
	return s
}

// failed is the error with the first remedy beside it: exit status 2.
func (e *recipeError) failed() error {
	return &failure{err: e, hint: e.Problems[0].Remedy, status: statusUsage}
}

// nearest returns the word closest to what was typed, "" when none is close.
func nearest(typed string, words []string) string {
	best, distance := "", len(typed)/3+2
	for _, w := range words {
		if d := edits(typed, w); d < distance {
			best, distance = w, d
		}
	}
	return best
}

// edits counts the insertions, removals and replacements from a to b.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := diagonal
			if a[i-1] != b[j-1] {
				change++
			}
			diagonal = row[j]
			row[j] = min(change, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}

// didYouMean is the remedy for an unknown word.
func didYouMean(typed string, words []string) string {
	if n := nearest(typed, words); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	return "use one of " + strings.Join(words, ", ") + "."
}
