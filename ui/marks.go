package ui

import "boildown/plateau"

// markKey binds a key to a mark. The letters are the first of a word in the
// label where that was free; looks are numbered in the order in which a melt
// goes through them.
type markKey struct {
	key   string
	mark  plateau.Mark
	label string // in help and after a press
	short string // under the chart
}

var markKeys = []markKey{
	{"m", plateau.MarkMeltStart, "melt begins: sugar in, heat on", "melt"},
	{"1", plateau.MarkLookDry, "looks dry", "dry"},
	{"2", plateau.MarkLookClumps, "looks clumpy", "clumps"},
	{"3", plateau.MarkLookColouring, "clumps take colour", "colour"},
	{"4", plateau.MarkLookClear, "looks clear", "clear"},
	{"g", plateau.MarkCrystalsGone, "crystals gone", "no crystals"},
	{"c", plateau.MarkCreamStart, "first cream in", "cream"},
	{"v", plateau.MarkCreamEnd, "last cream in", "all in"},
	{"d", plateau.MarkHeatDown, "heat down", "heat down"},
	{"u", plateau.MarkHeatUp, "heat up", "heat up"},
	{"b", plateau.MarkBackOn, "back on the heat", "back on"},
	{"p", plateau.MarkPull, "pulled: pot off the heat", "pull"},
	{"i", plateau.MarkDip, "a piece dipped in", "dip"},
}

// markByKey returns the mark of a key.
func markByKey(key string) (plateau.Mark, bool) {
	for _, k := range markKeys {
		if k.key == key {
			return k.mark, true
		}
	}
	return plateau.NoMark, false
}

// markLabel names a mark in full.
func markLabel(m plateau.Mark) string {
	for _, k := range markKeys {
		if k.mark == m {
			return k.label
		}
	}
	switch m {
	case plateau.MarkAdded:
		return "added"
	case plateau.MarkNote:
		return "note"
	}
	return "mark"
}

// markShort names a mark under the chart.
func markShort(m plateau.Mark) string {
	for _, k := range markKeys {
		if k.mark == m {
			return k.short
		}
	}
	return markLabel(m)
}
