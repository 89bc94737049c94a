package ui

import (
	"fmt"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// notice is one thing about the equipment that the cook should know, in plain
// words. Those that are not as they should be come first and stand out.
type notice struct {
	bad  bool
	text string
}

const (
	silentAfter   = 5 * time.Second
	unsyncedAfter = 2 * time.Second
)

// notices lists what is not as usual, the worst first.
func (sc *scene) notices() []notice {
	s, a := sc.snap, sc.snap.Advice
	var bad, good []notice
	wrong := func(format string, args ...any) { bad = append(bad, notice{true, fmt.Sprintf(format, args...)}) }
	known := func(format string, args ...any) { good = append(good, notice{false, fmt.Sprintf(format, args...)}) }
	if sc.strip == nil {
		switch {
		case s.Ended:
			known("the probe's readings have ended")
		case !s.Linked:
			wrong("PROBE NOT CONNECTED %s", long(s.Silent))
		case s.Silent > silentAfter:
			wrong("NO READING FOR %s", long(s.Silent))
		}
		if s.Note != "" && (!s.Linked || s.Silent > silentAfter || a.Fault != probe.FaultNone) {
			wrong("%s", Clean(s.Note))
		}
		switch {
		case s.RecordErr != "":
			wrong("NOT BEING KEPT: %s", Clean(s.RecordErr))
		case !s.Recording && !s.Ended:
			wrong("not being kept")
		case s.Unsynced > unsyncedAfter:
			wrong("NOT YET ON DISK: last %s", long(s.Unsynced))
		}
		if s.Aside != "" {
			wrong("%s", Clean(s.Aside))
		}
		if s.Quiet {
			wrong("ALARMS ARE OFF")
		}
	}
	doubt := a.Doubt
	if doubt == probe.FaultNone {
		doubt = a.Fault
	}
	if doubt != probe.FaultNone && doubt != probe.FaultSilent && doubt != probe.FaultGone {
		wrong("reading not used: %s", doubt)
	}
	if a.Forecast.Guess {
		wrong("TIME LEFT IS A GUESS: no readings to check it")
	}
	for _, side := range s.Sides {
		known("%s", side.Words(sc.unit))
	}
	if s.Demo {
		known("simulated pot")
	}
	if sp := s.Speed; sp != 0 && sp != 1 && sc.strip == nil {
		known("clock runs %g times as fast", sp)
	}
	if why := Clean(sc.cfg.Target); why != "" && a.Phase == plateau.Wait && sc.target() == sc.cfg.Fold.Target {
		known("target %s: %s", sc.unit.Temp(sc.target(), 1), why)
	}
	if text := sc.offsetText(); text != "" {
		known("%s", text)
	}
	if text := Clean(sc.cfg.Habits); text != "" {
		known("learned: %s", text)
	}
	return append(bad, good...)
}

// offsetText says that readings are corrected, and by how much at the target.
func (sc *scene) offsetText() string {
	k := sc.cfg.Fold.Calibration
	if k == (probe.Calibration{}) || k == (probe.Calibration{Gain: 1}) {
		return ""
	}
	t := sc.target()
	by := probe.Delta(k.Apply(t) - t)
	s := fmt.Sprintf("probe corrected by %+.1f %s", sc.unit.OfDelta(by), sc.unit)
	if why := Clean(sc.cfg.Offset); why != "" {
		s += " (" + why + ")"
	}
	return s
}

// lowWindow is the height below which notices get one row at most, and none
// when nothing is wrong.
const lowWindow = 20

// layNotices breaks notices into rows of the window, at most three, and fewer
// in a low window.
func layNotices(all []notice, w, h int, ascii bool) [][]notice {
	most := 3
	if h < lowWindow {
		most = 1
		if len(all) == 0 || !all[0].bad {
			return nil // the status line has them
		}
	}
	var rows [][]notice
	x := w
	for _, n := range all {
		need := textWidth(n.text, ascii) + 3
		if x+need > w && x > 0 {
			if len(rows) == most {
				break
			}
			rows = append(rows, nil)
			x = 0
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], n)
		x += need
	}
	return rows
}

func drawNotices(cv *canvas, y int, rows [][]notice) int {
	for _, row := range rows {
		x := 1
		for _, n := range row {
			st, s := tell, " "+n.text+" "
			if n.bad {
				st, s = warn, "! "+n.text+" "
			}
			x = cv.textTo(x, y, cv.w, st, s) + 1
		}
		y++
	}
	return y
}

// readingOld reports whether the temperature on the screen must not be taken
// for the pot's as it is now.
func (sc *scene) readingOld() bool {
	s := sc.snap
	if sc.strip != nil {
		return s.Advice.Doubt != probe.FaultNone
	}
	return !s.Ended && (s.Silent > silentAfter || !s.Linked) || s.Advice.Doubt != probe.FaultNone
}

// act is the one thing to do now. A temperature that is not to be trusted
// comes before all that is not urgent, unless the cook has heard of it; once
// the batch is over nobody needs to look after the probe.
func (sc *scene) act() act {
	s := sc.snap
	if s.Ended && s.Advice.Phase >= plateau.Pulled {
		return act{shout: "FINISHED"}
	}
	a := actFor(s.Advice)
	over := s.Advice.Phase == plateau.Done
	if sc.strip == nil && sc.readingOld() && !over && a.level != alarm && !s.Advice.Quiet.Has(plateau.ProbeFault) {
		return act{shout: "CHECK PROBE", brief: "PROBE?", level: alarm}
	}
	return a
}
