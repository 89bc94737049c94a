package sessions

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"boildown/probe"
)

// Filter says which sessions to show. The zero value takes all; every field
// that is set must fit.
type Filter struct {
	From, To time.Time     // begun at or after From and before To
	Recipe   string        // part of the recipe's name, in any case
	Text     string        // part of title, recipe, note or a tag, in any case
	Tag      string        // one of the tags, in any case
	Target   probe.Celsius // within half a degree
	Texture  int           // the outcome's
	Damaged  bool          // only what could not be read whole
}

// Match reports whether e fits.
func (f Filter) Match(e Entry) bool {
	switch {
	case !f.From.IsZero() && e.when().Before(f.From), !f.To.IsZero() && !e.when().Before(f.To):
		return false
	case !holds(e.Recipe, f.Recipe):
		return false
	case f.Text != "" && !holds(strings.Join(append([]string{e.Label.Title, e.Recipe, e.Label.Note, e.Label.Outcome.Text}, e.Label.Tags...), "\n"), f.Text):
		return false
	case f.Tag != "" && !slices.ContainsFunc(e.Label.Tags, func(t string) bool { return strings.EqualFold(t, f.Tag) }):
		return false
	case f.Target != 0 && math.Abs(float64(e.Target-f.Target)) > 0.5:
		return false
	case f.Texture != 0 && e.Label.Outcome.Texture != f.Texture:
		return false
	case f.Damaged && e.Damaged == 0 && e.Trouble == "":
		return false
	}
	return true
}

func holds(text, part string) bool {
	return part == "" || strings.Contains(strings.ToLower(text), strings.ToLower(part))
}

// Filtered returns the entries that fit, in their order.
func Filtered(entries []Entry, f Filter) []Entry {
	var out []Entry
	for _, e := range entries {
		if f.Match(e) {
			out = append(out, e)
		}
	}
	return out
}

// The orders of [Sort].
var orders = map[string]func(a, b Entry) int{
	"date":    newestFirst,
	"recipe":  func(a, b Entry) int { return strings.Compare(strings.ToLower(a.Recipe), strings.ToLower(b.Recipe)) },
	"title":   func(a, b Entry) int { return strings.Compare(strings.ToLower(a.Title()), strings.ToLower(b.Title())) },
	"target":  func(a, b Entry) int { return cmp.Compare(b.Target, a.Target) },
	"peak":    func(a, b Entry) int { return cmp.Compare(b.Peak, a.Peak) },
	"length":  func(a, b Entry) int { return cmp.Compare(b.End, a.End) },
	"texture": func(a, b Entry) int { return cmp.Compare(b.Label.Outcome.Texture, a.Label.Outcome.Texture) },
}

// Sort puts entries in order by "date" (newest first), "recipe", "title",
// "target", "peak", "length" or "texture" (highest first). Equal ones keep
// their order.
func Sort(entries []Entry, by string) error {
	order, ok := orders[by]
	if !ok {
		return fmt.Errorf("cannot sort by %q: use date, recipe, title, target, peak, length or texture", clean(by, 40))
	}
	slices.SortStableFunc(entries, order)
	return nil
}
