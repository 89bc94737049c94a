package sessions

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"iter"

	"boildown/plateau"
)

// maxLine bounds a line, in bytes. The longest that a recorder writes is a
// header with a recipe of maxRecipe bytes in which every byte is escaped.
const maxLine = 256 << 10

// Reader reads a session line by line, in memory that does not grow with it.
type Reader struct {
	Header Header
	Torn   bool     // the last line is unfinished, as after a crash
	Damage []Damage // what could not be read so far, at most maxDamage places
	Hurt   int      // how many places could not be read so far
	Notes  []string // what else is odd, each said once

	in      *bufio.Reader
	line    int   // number of the line read last
	offset  int64 // where it began
	next    int64 // where the next one begins
	pieces  []Record
	pending *Damage // an unfinished line, torn or damaged according to what follows
	others  map[string]int
	keep    func(line []byte) // is shown every whole line behind the header; may be nil
	sound   bool              // the header's checksum fits
	err     error
}

const maxDamage = 1000

// NewReader reads the header. It fails with [ErrNotSession] for anything
// else, [ErrEmpty] for a file that a crash left before its first line was
// whole, and [*VersionError] for a newer format. A header that is damaged is
// a [Damage] like any other; then its values may be wrong or missing.
func NewReader(r io.Reader) (*Reader, error) {
	rd := &Reader{in: bufio.NewReaderSize(r, 64<<10), others: map[string]int{}}
	if bom, _ := rd.in.Peek(3); bytes.Equal(bom, []byte("\xEF\xBB\xBF")) {
		rd.in.Discard(3)
		rd.next = 3
	}
	line, whole, err := rd.readLine()
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	h, sound, err := parseHeader(line)
	switch {
	case err == nil && sound:
		rd.Header, rd.sound = h, true
	case errors.As(err, new(*VersionError)):
		return nil, err
	case !whole && unfinishedHeader(line):
		return nil, ErrEmpty
	case !oursByLooks(line) && !rd.oursBehind():
		return nil, ErrNotSession
	default:
		rd.Header = h
		rd.salvage(line)
		why := "the first line is damaged: its values may be wrong"
		if err != nil {
			why = "the first line is damaged: target and settings are unknown"
		}
		rd.hurt(Damage{Line: rd.line, Offset: rd.offset, Bytes: int64(len(line)), Why: why})
	}
	return rd, nil
}

// unfinishedHeader reports whether line is where a crash could have cut a
// header, the empty file and the zero-filled one among them.
func unfinishedHeader(line []byte) bool {
	line = bytes.TrimRight(line, "\x00")
	begin := []byte(`{"k":"head","format":"` + FormatName + `"`)
	n := min(len(line), len(begin))
	return bytes.Equal(line[:n], begin[:n])
}

func oursByLooks(line []byte) bool {
	return bytes.Contains(line, []byte(FormatName)) || bytes.Contains(line, []byte(sealHead))
}

// oursBehind looks for a sealed line behind the first one, which a stray line
// end may have cut in two.
func (rd *Reader) oursBehind() bool {
	ahead, _ := rd.in.Peek(rd.in.Size())
	return oursByLooks(ahead)
}

// Records yields what stands behind the header, once.
func (rd *Reader) Records() iter.Seq[Record] {
	return func(yield func(Record) bool) {
		for {
			rec, ok := rd.read()
			if !ok || !yield(rec) {
				return
			}
		}
	}
}

// Inputs yields what the fold was told, once, and skips all else.
func (rd *Reader) Inputs() iter.Seq[plateau.Input] {
	return func(yield func(plateau.Input) bool) {
		for rec := range rd.Records() {
			if rec.Kind == InputRecord && !yield(rec.Input) {
				return
			}
		}
	}
}

// Err returns the error of the disk that ended the reading early, or nil.
func (rd *Reader) Err() error { return rd.err }

func (rd *Reader) read() (Record, bool) {
	for {
		if len(rd.pieces) > 0 {
			rec := rd.pieces[0]
			rd.pieces = rd.pieces[1:]
			return rec, true
		}
		line, whole, err := rd.readLine()
		if err != nil {
			if !errors.Is(err, io.EOF) {
				rd.err = err
			}
			rd.settle(true)
			return Record{}, false
		}
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		rec, ok := rd.parse(line)
		if ok {
			rd.settle(rec.Kind == AmendRecord || rec.Kind == InputRecord && rec.Input.Kind == plateau.Resumed)
			return rec, true
		}
		rd.settle(false)
		rd.mangled(line, whole)
	}
}

func (rd *Reader) parse(line []byte) (Record, bool) {
	body, ok := unseal(line)
	if !ok {
		return Record{}, false
	}
	rec, err := decode(line, body)
	if err != nil {
		return Record{}, false
	}
	rec.Line = rd.line
	if rd.keep != nil {
		rd.keep(line)
	}
	if rec.Kind == OtherRecord {
		rd.other(rec.Text)
	}
	return rec, true
}

// mangled takes a line whose checksum does not fit.
func (rd *Reader) mangled(line []byte, whole bool) {
	d := Damage{Line: rd.line, Offset: rd.offset, Bytes: rd.next - rd.offset, Why: "damaged: its checksum does not fit"}
	n := rd.salvage(line)
	switch {
	case len(line) >= maxLine:
		d.Why = "too long to be a line of a session"
	case n > 0:
		d.Why = fmt.Sprintf("damaged: %d whole records were found in it", n)
	case !whole || !bytes.HasSuffix(line, []byte(`"}`)):
		d.Why = "unfinished"
		rd.pending = &d
		return
	}
	rd.hurt(d)
}

// settle decides what an unfinished line was: what a crash leaves when nothing
// follows it, or a resumption or amendment does; damage otherwise.
func (rd *Reader) settle(crash bool) {
	d := rd.pending
	if d == nil {
		return
	}
	rd.pending = nil
	if !crash {
		d.Why = "damaged: unfinished, yet more follows"
		rd.hurt(*d)
		return
	}
	rd.Torn = true
	rd.note(fmt.Sprintf("line %d was cut short by a crash (%d bytes)", d.Line, d.Bytes))
}

func (rd *Reader) hurt(d Damage) {
	rd.Hurt++
	if len(rd.Damage) < maxDamage {
		rd.Damage = append(rd.Damage, d)
	}
}

func (rd *Reader) note(s string) {
	if len(rd.Notes) < maxDamage {
		rd.Notes = append(rd.Notes, s)
	}
}

func (rd *Reader) other(kind string) {
	if rd.others[kind] == 0 && len(rd.others) < 20 {
		rd.note(fmt.Sprintf("line %d is of a kind that this version does not know (%q) and was skipped", rd.line, kind))
	}
	if rd.others[kind] > 0 || len(rd.others) < 20 {
		rd.others[kind]++
	}
}

// salvage finds whole records inside a damaged line, as where a lost line end
// has run two lines into one. It returns how many.
func (rd *Reader) salvage(line []byte) int {
	begin := []byte(`{"k":"`)
	found := 0
	for tries := 0; tries < 64; tries++ { // a bound on what a hostile line can cost
		i := bytes.Index(line, begin)
		if i < 0 {
			break
		}
		line = line[i:]
		j := bytes.Index(line, []byte(sealHead))
		if j < 0 {
			break
		}
		end := j + sealLen
		if end <= len(line) {
			if rec, ok := rd.parse(line[:end]); ok {
				rd.pieces = append(rd.pieces, rec)
				found++
				line = line[end:]
				continue
			}
		}
		line = line[len(begin):]
	}
	return found
}

// readLine returns the next line without its line end, at most maxLine bytes
// of it, and whether it had a line end.
func (rd *Reader) readLine() (line []byte, whole bool, err error) {
	rd.offset = rd.next
	for {
		part, err := rd.in.ReadSlice('\n')
		rd.next += int64(len(part))
		if room := maxLine - len(line); len(part) > room {
			part = part[:room]
		}
		if line == nil && err == nil {
			rd.line++
			return trimEnd(part), true, nil
		}
		line = append(line, part...)
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			continue
		case err == nil:
			rd.line++
			return trimEnd(line), true, nil
		case errors.Is(err, io.EOF) && len(line) > 0:
			rd.line++
			return line, false, nil
		}
		return line, false, err
	}
}

func trimEnd(line []byte) []byte {
	return bytes.TrimSuffix(bytes.TrimSuffix(line, []byte{'\n'}), []byte{'\r'})
}
