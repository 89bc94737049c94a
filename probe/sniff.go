package probe

// Guess is what [Sniff] makes of some lines.
type Guess struct {
	Format  Format
	Sure    bool     // nothing about it is a matter of taste
	Lines   int      // lines looked at
	Read    int      // lines of them that yield a temperature under Format
	Why     string   // what was seen, in a cook's words
	Example string   // the last line that yields one, made printable
	C       Celsius  // what it yields
	Others  []Format // what else could be meant, likeliest first
}

// Sniff looks at lines as they came and says which format fits them. OK is
// false when nothing in them looks like a temperature; Why then says what was
// seen instead.
func Sniff(lines []string) (g Guess, ok bool) { return Guess{}, false }
