package probe

// MaxLine is the longest line that a [Framer] hands on, in bytes. No
// thermometer prints more; what is longer is a wrong speed or no line at all.
const MaxLine = 4096

// Framer cuts a stream of bytes into lines. A line ends with CR, LF or CR LF;
// blank lines are left out. However the stream is cut into chunks, the lines
// come out the same. The zero value is ready to use.
type Framer struct {
	part    []byte
	skip    bool // drop bytes up to the next line end
	dropped int64
}

// Feed takes in a chunk and calls each with every line that it completes,
// without the line end.
func (f *Framer) Feed(chunk []byte, each func(line string)) {
	for _, b := range chunk {
		switch {
		case b == '\n' || b == '\r':
			if !f.skip && len(f.part) > 0 {
				each(string(f.part))
			}
			f.part, f.skip = f.part[:0], false
		case f.skip:
			f.dropped++
		case len(f.part) == MaxLine:
			f.dropped += MaxLine + 1
			f.part, f.skip = f.part[:0], true
		default:
			f.part = append(f.part, b)
		}
	}
}

// Resync forgets the line begun and drops everything up to the next line end.
// Call it where a stream is joined in its middle or torn: the tail of
// "112.4" is a fine "12.4".
func (f *Framer) Resync() {
	f.dropped += int64(len(f.part))
	f.part, f.skip = f.part[:0], true
}

// Dropped returns the number of bytes that were thrown away so far.
func (f *Framer) Dropped() int64 { return f.dropped }

// Pending returns the number of bytes of the line begun and not yet ended.
func (f *Framer) Pending() int { return len(f.part) }
