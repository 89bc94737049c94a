package sessions

import (
	"errors"
	"os"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// Entry is one session on the shelf: what a list shows of it.
type Entry struct {
	Name     string    `json:"name"` // file name in the folder
	Size     int64     `json:"size"`
	Modified time.Time `json:"modified"`

	Start    time.Time     `json:"start,omitzero"`
	Recipe   string        `json:"recipe,omitempty"`
	Probe    string        `json:"probe,omitempty"`
	Cook     string        `json:"cook,omitempty"`
	Hob      string        `json:"hob,omitempty"`
	Demo     bool          `json:"demo,omitempty"`
	Unit     probe.Unit    `json:"unit,omitempty"`
	Target   probe.Celsius `json:"target,omitempty"`
	End      time.Duration `json:"end,omitempty"`      // time of the last input
	Pressure float64       `json:"pressure,omitempty"` // Pa; 0 when it was not known
	Peak     probe.Celsius `json:"peak,omitempty"`     // the closing line's; 0 when the batch has none
	PullAt   time.Duration `json:"pull,omitempty"`     // the closing line's
	Stall    time.Duration `json:"stall,omitempty"`    // length of the stall, the closing line's
	Phase    string        `json:"phase,omitempty"`    // where the batch ended
	Label    Label         `json:"label,omitzero"`
	Closed   bool          `json:"closed,omitempty"`
	Torn     bool          `json:"torn,omitempty"`
	Damaged  int           `json:"damaged,omitempty"` // places that could not be read
	Trouble  string        `json:"trouble,omitempty"` // why it could not be opened at all
	Sparks   string        `json:"sparks,omitempty"`  // the curve, see Curve

	Path string `json:"-"`
}

// Title returns what to call the batch.
func (e Entry) Title() string {
	if e.Trouble != "" && e.Start.IsZero() {
		return e.Name
	}
	return titleOf(e.Label.Title, e.Recipe, e.Start)
}

// The small curve holds one character a bucket of time, each a step of
// sparkStep from sparkLow; a space where no reading came.
const (
	sparkWidth = 48
	sparkLow   = probe.Celsius(0)
	sparkStep  = 2.5
)

// Curve returns the batch's corrected temperature at even steps of time, at
// most 48 of them, to 2.5 °C; a step without a reading is not ok.
func (e Entry) Curve() (points []probe.Celsius, ok []bool) {
	for i := range min(len(e.Sparks), sparkWidth) { // an index may say anything
		c := e.Sparks[i]
		points = append(points, sparkLow+probe.Celsius(sparkStep*float64(c-'!')))
		ok = append(ok, c >= '!' && c <= '~')
	}
	return points, ok
}

// look reads a session's file for its entry, in memory that does not grow
// with it.
func look(path string) Entry {
	f, err := os.Open(path)
	if err != nil {
		return Entry{Trouble: troubleAt("opening", path, err).Words}
	}
	defer f.Close()
	rd, err := NewReader(f)
	if err != nil {
		return Entry{Trouble: clean(err.Error(), 300)}
	}
	h := rd.Header
	e := Entry{Start: h.Start, Recipe: h.Recipe, Probe: h.Probe, Cook: h.Cook, Hob: h.Hob, Demo: h.Demo, Unit: h.Unit, Target: h.Config.Target, Pressure: h.Config.Pressure}
	var curve sparks
	for rec := range rd.Records() {
		e.take(rec)
		if in := rec.Input; rec.Kind == InputRecord && in.Kind == plateau.Measured && in.Fault == probe.FaultNone {
			curve.add(in.At, h.Config.Calibration.Apply(in.C))
		}
	}
	if err := rd.Err(); err != nil {
		e.Trouble = troubleAt("reading", path, err).Words
	}
	e.Torn, e.Damaged, e.Sparks = rd.Torn, rd.Hurt, curve.String()
	return e
}

func (e *Entry) take(rec Record) {
	switch rec.Kind {
	case InputRecord:
		e.End = max(e.End, rec.Input.At)
		switch rec.Input.Kind {
		case plateau.Retargeted:
			e.Target = rec.Input.Target
		case plateau.Resumed:
			e.Closed = false
		}
	case CloseRecord:
		e.Closed = true
		e.Stall = max(rec.Sum.ClimbAt-rec.Sum.StallAt, 0)
		e.Peak, e.PullAt, e.Phase = rec.Sum.Peak, rec.Sum.PullAt, rec.Sum.Phase
	case AmendRecord:
		e.Label = e.Label.Apply(*rec.Label)
	}
}

// sparks gathers a curve of unknown length into at most sparkWidth buckets:
// when they are full, neighbours are joined and each bucket holds twice the
// time.
type sparks struct {
	sum   [sparkWidth]float64
	n     [sparkWidth]int
	width time.Duration
	used  int
}

func (s *sparks) add(at time.Duration, c probe.Celsius) {
	if s.width == 0 {
		s.width = time.Second
	}
	for at/s.width >= sparkWidth {
		for i := range sparkWidth / 2 {
			s.sum[i] = s.sum[2*i] + s.sum[2*i+1]
			s.n[i] = s.n[2*i] + s.n[2*i+1]
		}
		clear(s.sum[sparkWidth/2:])
		clear(s.n[sparkWidth/2:])
		s.width *= 2
		s.used = (s.used + 1) / 2
	}
	i := int(max(at, 0) / s.width)
	s.sum[i] += float64(c)
	s.n[i]++
	s.used = max(s.used, i+1)
}

func (s *sparks) String() string {
	out := make([]byte, s.used)
	for i := range out {
		out[i] = ' '
		if s.n[i] > 0 {
			step := (s.sum[i]/float64(s.n[i]) - float64(sparkLow)) / sparkStep
			out[i] = byte('!' + max(0, min(int(step+0.5), '~'-'!')))
		}
	}
	return string(out)
}

// errName refuses a name that could lead out of the folder.
var errName = errors.New("not the name of a session in the folder")
