package sessions

import (
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// Summary is what the closing line says of a batch: a cache for the shelf, so
// that a list need not fold every session. The inputs are the truth.
type Summary struct {
	Fold     string          `json:"fold,omitempty"` // version of the fold that made it
	End      time.Duration   `json:"-"`              // time of the last input
	Readings int             `json:"readings"`       // lines that came, doubted ones among them
	Doubted  int             `json:"doubted,omitempty"`
	Marks    int             `json:"marks,omitempty"`
	Peak     probe.Celsius   `json:"peak_c,omitempty"`  // hottest since the pot went on the heat for the last time, after the stall began
	Lifts    []probe.Celsius `json:"lifts_c,omitempty"` // the same of each earlier time on the heat, in order
	StallAt  time.Duration   `json:"-"`                 // 0 when there was none
	ClimbAt  time.Duration   `json:"-"`
	PullAt   time.Duration   `json:"-"`
	PullC    probe.Celsius   `json:"pull_c,omitempty"` // the filtered temperature at the pull
	Target   probe.Celsius   `json:"target_c,omitempty"`
	Phase    string          `json:"phase,omitempty"` // where the batch stood when it ended

	EndS   float64 `json:"end_s"`
	StallS float64 `json:"stall_s,omitempty"`
	ClimbS float64 `json:"climb_s,omitempty"`
	PullS  float64 `json:"pull_s,omitempty"`
}

// mostLifts is how many peaks of earlier lifts are kept.
const mostLifts = 20

// lifted keeps the peak of a time on the heat that is over.
func (s *Summary) lifted() {
	if s.Peak != 0 && len(s.Lifts) < mostLifts {
		s.Lifts = append(s.Lifts, s.Peak)
	}
	s.Peak = 0
}

// Add takes one input and the advice that followed from it.
func (s *Summary) Add(in plateau.Input, a plateau.Advice) {
	s.End = max(s.End, in.At)
	s.Target, s.Phase = a.Target.Rounded(), a.Phase.String()
	switch in.Kind {
	case plateau.Measured:
		s.Readings++
		if a.Fault != probe.FaultNone {
			s.Doubted++
		}
	case plateau.Marked:
		s.Marks++
	}
	switch {
	case a.Phase == plateau.Stall && s.StallAt == 0:
		s.StallAt = in.At
	case a.Phase == plateau.Climb && s.ClimbAt == 0:
		s.ClimbAt = in.At
	case a.Phase == plateau.Pulled && s.PullAt == 0:
		s.PullAt, s.PullC = in.At, a.Now.Rounded()
	case a.Phase < plateau.Pulled && s.PullAt != 0: // back on the heat, or never off it
		if in.Kind != plateau.Undone {
			s.lifted()
		}
		s.PullAt, s.PullC = 0, 0
	}
	if a.Peak != 0 {
		s.Peak = a.Peak.Rounded()
	}
}

func (s Summary) stored() Summary {
	s.EndS, s.StallS, s.ClimbS, s.PullS = seconds(s.End), seconds(s.StallAt), seconds(s.ClimbAt), seconds(s.PullAt)
	s.Fold, s.Phase = clean(s.Fold, 80), clean(s.Phase, 80)
	return s
}

func (s Summary) loaded() Summary {
	s.End, s.StallAt, s.ClimbAt, s.PullAt = fromSeconds(s.EndS), fromSeconds(s.StallS), fromSeconds(s.ClimbS), fromSeconds(s.PullS)
	s.Fold, s.Phase = clean(s.Fold, 80), clean(s.Phase, 80)
	return s
}
