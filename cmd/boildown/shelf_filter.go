package main

import (
	"fmt"
	"time"

	"github.com/spf13/pflag"

	"boildown/sessions"
)

// fitFlags say which batches of a shelf are meant.
type fitFlags struct {
	filter sessions.Filter
	demo   bool
}

func (f *fitFlags) register(set *pflag.FlagSet) {
	set.StringVar(&f.filter.Text, "search", "", "only batches with this in title, recipe, note or tag")
	set.Var(&value[time.Time]{to: &f.filter.From, parse: parseDay, kind: "day"}, "from", "only batches begun on this day or later, as in 2026-03-14")
	set.Var(&value[time.Time]{to: &f.filter.To, parse: parseDayAfter, kind: "day"}, "to", "only batches begun on this day or before")
	set.StringVar(&f.filter.Recipe, "recipe", "", "only batches with this in the recipe's name")
	set.Var(tempValue(&f.filter.Target, ""), "target", "only batches with this target, give or take half a degree C")
	set.Var(&value[int]{to: &f.filter.Texture, parse: sessions.TextureFor, kind: "texture"}, "texture", "only batches that came out like this, runny to shatters or 1 to 7")
	set.StringVar(&f.filter.Tag, "tag", "", "only batches with this tag")
	set.BoolVar(&f.filter.Damaged, "damaged", false, "only batches that cannot be read whole")
	set.BoolVar(&f.demo, "demo", true, "simulated batches too")
}

// of returns the entries that fit.
func (f *fitFlags) of(all []sessions.Entry) []sessions.Entry {
	var out []sessions.Entry
	for _, e := range sessions.Filtered(all, f.filter) {
		if f.demo || !e.Demo {
			out = append(out, e)
		}
	}
	return out
}

// parseDay reads a day where the kitchen is, and returns its beginning.
func parseDay(s string) (time.Time, error) {
	t, err := time.ParseInLocation(time.DateOnly, s, time.Local)
	if err != nil {
		return t, fmt.Errorf("%q is no day: write it like 2026-03-14", s)
	}
	return t, nil
}

// parseDayAfter returns the day's end.
func parseDayAfter(s string) (time.Time, error) {
	t, err := parseDay(s)
	return t.AddDate(0, 0, 1), err
}
