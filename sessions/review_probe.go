package sessions

import (
	"fmt"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// judgeGaps judges times without a usable reading.
func (rv *review) judgeGaps() {
	var doubted, readings int
	var worst, worstNear time.Duration
	worstAt, nearAt, lastOK := noTime, noTime, noTime
	fault, nearFault := probe.FaultNone, probe.FaultNone
	current := probe.FaultNone
	lastNow := probe.Celsius(0)
	for _, p := range rv.points {
		readings++
		if !p.ok {
			doubted++
			if current == probe.FaultNone || current == probe.FaultSilent {
				current = p.fault
			}
			continue
		}
		if gap := p.at - lastOK; lastOK != noTime && current != probe.FaultNone || lastOK != noTime && gap > SilenceAfter {
			if gap > worst {
				worst, worstAt, fault = gap, lastOK, current
			}
			near := p.phase >= plateau.Stall && lastOK < rv.until(rv.pull) && float64(p.target-lastNow) < fahrenheits(10)
			if near && gap > worstNear {
				worstNear, nearAt, nearFault = gap, lastOK, current
			}
		}
		current, lastOK, lastNow = probe.FaultNone, p.at, p.now
	}
	if end := rv.end - lastOK; lastOK != noTime && end > SilenceAfter && rv.pull == noTime && rv.stall != noTime {
		worst, worstAt, fault = max(worst, end), lastOK, current
		if float64(rv.target-lastNow) < fahrenheits(10) {
			worstNear, nearAt, nearFault = end, lastOK, current
		}
	}
	switch {
	case worstNear.Seconds() > gapMattered.value:
		rv.add("blind-pull", Serious, worstNear.Seconds()/gapMattered.value, nearAt, Finding{
			What:    fmt.Sprintf("For %s within %s of the target there was no reading to go by%s.", clock(worstNear), rv.diff(fahrenheits(10)), because(nearFault)),
			Against: "a reading each second or more", Why: "The last degrees are the ones that decide, and nobody saw them.",
			Next: "Fix the probe so that it cannot slip, keep its tip covered, and check the plug before the climb.",
		})
	case worst.Seconds() > gapLong.value:
		rv.add("gap", Minor, worst.Seconds()/gapLong.value, worstAt, Finding{
			What:    fmt.Sprintf("For %s there was no reading to go by%s.", clock(worst), because(fault)),
			Against: clock(time.Duration(gapLong.value) * time.Second), Why: "What the pot did meanwhile is not known.",
			Next: "Check the probe's plug and its place in the pot.",
		})
	}
	if readings > 0 && float64(doubted)/float64(readings) > doubtShare.value {
		share := float64(doubted) / float64(readings)
		rv.add("doubtful", Note, share/doubtShare.value, max(worstAt, 0), Finding{
			What: fmt.Sprintf("%.0f %% of the readings could not be used.", 100*share), Against: fmt.Sprintf("%.0f %%", 100*doubtShare.value),
			Why: "The fewer readings, the later the prompts.", Next: "Keep the tip covered, off the bottom and away from an induction hob's coil.",
		})
	}
}

func because(f probe.Fault) string {
	if f == probe.FaultNone || f == probe.FaultSilent {
		return ""
	}
	return " (" + f.String() + ")"
}

// judgeForecast compares what was forecast with what came.
func (rv *review) judgeForecast() {
	arrival := rv.arrival()
	if arrival == noTime {
		return
	}
	var n, outside int
	worst, worstAt, said := 0.0, noTime, time.Duration(0)
	for _, p := range rv.points {
		left := arrival - p.at
		if !p.forecast.Ok() || left < time.Minute || p.forecast.Guess {
			continue
		}
		n++
		if left < p.forecast.Low || left > p.forecast.High {
			outside++
		}
		off := (p.forecast.ETA - left).Seconds() / left.Seconds()
		if off = max(off, -off); off > worst {
			worst, worstAt, said = off, p.at, p.forecast.ETA
		}
	}
	if n < 30 || float64(outside)/float64(n) < misledHalf.value || worst < misled.value {
		return
	}
	rv.add("forecast-misled", Note, worst, worstAt, Finding{
		What:    fmt.Sprintf("The forecast misled: at %s it said %s, and it was %s.", clock(worstAt), clock(said), clock(arrival-worstAt)),
		Against: fmt.Sprintf("an interval that held the arrival in only %.0f %% of its forecasts", 100*(1-float64(outside)/float64(n))),
		Why:     "A forecast holds for one heat: a knob that was turned without its mark, or a cycling hob, bends it.",
		Next:    "Press the key when you turn the heat, and tell the program altitude or water's boiling point.",
	})
}

// arrival returns when the pot first stood at its target, noTime for never.
func (rv *review) arrival() time.Duration {
	for p := range rv.between(rv.stall, rv.until(rv.pull)+time.Minute) {
		if p.ok && p.target != 0 && p.now >= p.target {
			return p.at
		}
	}
	return noTime
}

// judgeFile tells what the record itself lacks.
func (rv *review) judgeFile() {
	s := rv.session
	for _, rec := range s.Records {
		switch {
		case rec.Kind == LostRecord:
			rv.add("lost", Minor, 1, rec.At, Finding{What: clean(rec.Text, maxText) + ".", Against: "a disk with room", Why: "They are missing from this record.", Next: "Make room on the disk before a batch."})
		case rec.Kind == InputRecord && rec.Input.Kind == plateau.Resumed:
			rv.add("resumed", Note, 1, rec.At, Finding{What: "The recording broke off and went on at " + clock(rec.At) + ".", Against: "one run", Why: "The pot was not watched in between.", Next: "See what ended the program."})
		}
	}
	if len(s.Damage) > 0 {
		rv.add("damaged", Note, 1, 0, Finding{What: fmt.Sprintf("%d places of the file are damaged, the first at line %d.", len(s.Damage), s.Damage[0].Line), Against: "its checksums", Why: "What stood there is missing.", Next: "Copy the file to a sound disk."})
	}
	if rv.target == 0 {
		rv.add("no-target", Note, 1, 0, Finding{What: "The batch has no target.", Against: "an endpoint to judge by", Why: "Without one the peak cannot be judged.", Next: "Give a recipe or a target."})
	}
}
