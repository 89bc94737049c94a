package plateau

// Mark is what a cook tells by a key, or a file by a word.
type Mark uint8

// The marks. Their words are a file format and do not change.
const (
	NoMark            Mark = iota
	MarkMeltStart          // sugar in, heat on
	MarkCrystalsGone       // the melt is free of crystals
	MarkCreamStart         // the first cream goes in
	MarkCreamEnd           // the last cream is in
	MarkHeatDown           // heat turned down
	MarkHeatUp             // heat turned up
	MarkBackOn             // the pot is back on the heat after a test
	MarkPull               // the pot is off the heat
	MarkDip                // the first piece is dipped
	MarkLookDry            // the sugar still looks dry
	MarkLookClumps         // the sugar clumps
	MarkLookColouring      // the clumps take colour
	MarkLookClear          // the syrup is clear
	MarkAdded              // something else went in; the text says what
	MarkNote               // free text
	markCount
)

var markWords = [markCount]string{
	"", "melt-start", "crystals-gone", "cream-start", "cream-end", "heat-down", "heat-up",
	"back-on", "pull", "dip", "look:dry", "look:clumps", "look:colouring", "look:clear", "added", "note",
}

// String returns the mark's word in files, "" for [NoMark].
func (m Mark) String() string {
	if m >= markCount {
		return "note"
	}
	return markWords[m]
}

// MarkFor returns the mark whose [Mark.String] is s, and whether there is one.
func MarkFor(s string) (Mark, bool) {
	for m, w := range markWords {
		if w == s && m > 0 {
			return Mark(m), true
		}
	}
	return NoMark, false
}
