package sessions

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"sync"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// How much a recorder keeps in memory while the disk takes nothing: an hour of
// readings at 10 Hz, and room beside it for what matters more than a reading.
const (
	keepReadings = 36_000
	keepOthers   = 8_000
)

// Recorder appends a batch to its file. Its methods return at once whatever
// the disk does: lines go through memory, and a goroutine of its own writes
// them, syncs about once a second and at every mark, and goes on trying while
// the disk is full, read-only, slow or gone. They may be called from several
// goroutines.
type Recorder struct {
	disk Disk
	dir  string
	head []byte // the first line
	wake chan struct{}
	done chan struct{}

	mu     sync.Mutex
	path   string
	buf    []byte // bytes that are not synced yet; the first stands at base in the file
	base   int64
	lines  []heldLine               // of buf, in order
	held   int                      // readings among lines
	sides  map[string]probe.Reading // the last one kept of each channel, its time and fault
	synced int                      // lines on the disk for good, the header among them
	lost   int                      // lines that found no room
	unsaid gap                      // lost lines that the file does not tell of yet
	urgent bool                     // a mark waits to be synced
	ending bool
	flush  []chan struct{}
	err    error     // why the disk took nothing the last time
	fault  *Fault    // the panic that ended the writer
	busy   time.Time // since when a request to the disk is open; zero when none is
}

type heldLine struct {
	end     int64 // position in the file behind the line
	since   time.Time
	reading bool
}

type gap struct {
	count    int
	from, to time.Duration
}

// Create starts the record of a batch in dir, which is made when there is
// none. It fails when the file cannot be made; see [CreateAnyway].
func Create(dir string, h Header) (*Recorder, error) { return CreateOn(osDisk{}, dir, h) }

// CreateOn is [Create] on a given disk.
func CreateOn(disk Disk, dir string, h Header) (*Recorder, error) {
	head, err := h.line()
	if err != nil {
		return nil, err
	}
	f, path, err := createFile(disk, dir, h.Start)
	if err != nil {
		return nil, troubleAt("recording in", dir, err)
	}
	r := newRecorder(disk, dir, path, head)
	r.begin(f)
	return r, nil
}

// CreateAnyway is [Create] for a cook that goes on without a disk: when the
// file cannot be made, lines are kept in memory, [Recorder.Status] says why,
// and the file is made as soon as it can be. It fails only for a header with
// numbers that are not finite.
func CreateAnyway(dir string, h Header) (*Recorder, error) { return CreateAnywayOn(osDisk{}, dir, h) }

// CreateAnywayOn is [CreateAnyway] on a given disk.
func CreateAnywayOn(disk Disk, dir string, h Header) (*Recorder, error) {
	head, err := h.line()
	if err != nil {
		return nil, err
	}
	f, path, err := createFile(disk, dir, h.Start)
	if err != nil {
		f, path = nil, filepath.Join(dir, Name(h.Start, 0))
	}
	r := newRecorder(disk, dir, path, head)
	if err != nil {
		r.err = troubleAt("recording in", dir, err)
	}
	r.begin(f)
	return r, nil
}

func newRecorder(disk Disk, dir, path string, head []byte) *Recorder {
	return &Recorder{disk: disk, dir: dir, path: path, head: head,
		wake: make(chan struct{}, 1), done: make(chan struct{})}
}

// begin queues the header and starts the writer.
func (r *Recorder) begin(f File) {
	r.add(r.head, false, true)
	w := &writer{r: r, f: f}
	go w.run()
}

// createFile makes the batch's file under the first name that is free.
func createFile(disk Disk, dir string, start time.Time) (File, string, error) {
	if err := disk.MkdirAll(dir); err != nil {
		return nil, "", err
	}
	for n := range 1000 {
		path := filepath.Join(dir, Name(start, n))
		f, err := disk.Create(path)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return nil, "", err
		}
		if err := f.Lock(); err != nil {
			f.Close()
			return nil, "", err
		}
		return f, path, disk.SyncDir(dir)
	}
	return nil, "", fs.ErrExist
}

// Path returns where the batch is or will be recorded.
func (r *Recorder) Path() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.path
}

// Input records one input, rounded by [Rounded]. Call it before the fold
// steps the input.
func (r *Recorder) Input(in plateau.Input) {
	in = Rounded(in)
	var room [160]byte
	line := appendInput(room[:0], in)
	reading := in.Kind == plateau.Measured || in.Kind == plateau.Silent
	r.append(line, in.At, reading, !reading)
}

// Prompt records that p began at the input recorded last, in the words that
// the cook was told.
func (r *Recorder) Prompt(at time.Duration, p plateau.Prompt, text string) {
	r.record(wireRecord{K: "prompt", T: seconds(roundTime(at)), Prompt: p.String(), Text: clean(text, maxText)}, at, false)
}

// Source records news of the probe: a link that came up or was lost, or with
// [probe.LinkSame] a mere note of one sentence.
func (r *Recorder) Source(at time.Duration, link probe.Link, text string) {
	word := link.String()
	if link != probe.LinkUp && link != probe.LinkLost {
		word = ""
	}
	r.record(wireRecord{K: "source", T: seconds(roundTime(at)), Link: word, Text: clean(text, maxText)}, at, false)
}

// Side records a reading of another channel than the pot's. What comes of it
// more often than each second is left out, unless its fault has changed.
func (r *Recorder) Side(channel string, reading probe.Reading) {
	at, channel := roundTime(reading.At), clean(channel, maxName)
	r.mu.Lock()
	last, known := r.sides[channel]
	due := !known || reading.Fault != last.Fault || at >= last.At+time.Second
	if due && (known || len(r.sides) < maxSides) {
		if r.sides == nil {
			r.sides = map[string]probe.Reading{}
		}
		r.sides[channel] = probe.Reading{At: at, Fault: reading.Fault}
	} else {
		due = false
	}
	r.mu.Unlock()
	if !due {
		return
	}
	w := wireRecord{K: "side", T: seconds(at), Name: channel, Fault: reading.Fault.String()}
	if c := float64(roundTemp(reading.C)); reading.Fault == probe.FaultNone || c != 0 {
		w.C = &c
	}
	r.record(w, at, false)
}

// Bounds of the other channels.
const (
	maxName  = 40
	maxSides = 16
)

// Amend records a title, tags, a note or an outcome while the batch cooks.
func (r *Recorder) Amend(a Amendment) { r.record(wireAmend{K: "amend", Amendment: a}, 0, true) }

func (r *Recorder) record(v any, at time.Duration, urgent bool) {
	line, err := sealed(v)
	if err != nil { // nothing that is recorded here can fail to be JSON
		return
	}
	r.append(line, at, false, urgent)
}

func (r *Recorder) append(line []byte, at time.Duration, reading, urgent bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.ending {
		return
	}
	full := len(r.lines)-r.held >= keepOthers
	if reading {
		full = r.held >= keepReadings
	}
	if full {
		if r.unsaid.count == 0 {
			r.unsaid.from = at
		}
		r.unsaid.count++
		r.unsaid.to = at
		r.lost++
		return
	}
	if r.unsaid.count > 0 {
		r.addLocked(r.unsaid.line(), false, false)
		r.unsaid = gap{}
	}
	r.addLocked(line, reading, urgent)
}

func (g gap) line() []byte {
	text := fmt.Sprintf("%d lines between %.0f s and %.0f s found no room while the disk was away", g.count, g.from.Seconds(), g.to.Seconds())
	line, err := sealed(wireRecord{K: "lost", T: seconds(g.to), Count: g.count, Text: text})
	if err != nil {
		return nil
	}
	return line
}

func (r *Recorder) add(line []byte, reading, urgent bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.addLocked(line, reading, urgent)
}

func (r *Recorder) addLocked(line []byte, reading, urgent bool) {
	r.buf = append(r.buf, line...)
	r.lines = append(r.lines, heldLine{end: r.base + int64(len(r.buf)), since: time.Now(), reading: reading})
	if reading {
		r.held++
	}
	r.urgent = r.urgent || urgent
	r.nudge()
}

// nudge wakes the writer; one that is awake already will look again.
func (r *Recorder) nudge() {
	select {
	case r.wake <- struct{}{}:
	default:
	}
}
