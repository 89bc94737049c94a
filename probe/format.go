package probe

// Format says where in a line the temperature is. The zero value finds it
// alone wherever the line plainly holds just one, taking numbers without a
// unit for °C.
type Format struct {
	Unit  Unit   // of numbers whose line states none; a stated unit wins
	Field int    // 1 for the first field, 0 for none chosen
	Sep   string // between fields; "" finds it: one of ; tab , | or spaces
	Key   string // label before the number, or key in a JSON object ("pot.temp" for nested ones)
	Comma bool   // the comma is a decimal comma even where it could be a separator
}

// Parse returns the temperature in line, or why there is none. [FaultEmpty]
// means that the line is not about this temperature at all (a greeting, a
// blank field); every other fault is the probe's, or the cable's.
func (f Format) Parse(line string) (Celsius, Fault) { return 0, FaultEmpty }

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

// Printable returns s fit to be shown on a terminal: no control or escape
// byte is left in it, nor any byte that is not text.
func Printable(s string) string { return "" }
