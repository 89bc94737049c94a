package probe

import (
	"fmt"
	"math"
	"time"
)

// What a probe must be able to do to pull a caramel within 1 °F. The climb
// passes about 5 °F in its last minute (common practice, no source), so a
// second of lag or of waiting costs a twelfth of a degree Fahrenheit.
const (
	goodStep     = Delta(0.5 / 1.8)
	goodNoise    = Delta(0.5 / 1.8) // one standard deviation: two of them are 1 °F
	goodInterval = 2 * time.Second
	goodLag      = 5 * time.Second  // harmless even if nothing corrects it
	mostLag      = 15 * time.Second // beyond it a correction guesses more than it knows
	goodShare    = 0.95             // of the readings must be without fault
)

// Quality is what a probe showed in a bath and in a plunge.
type Quality struct {
	Readings int
	Faults   int
	Interval time.Duration // mean time between readings
	Step     Delta         // smallest change seen: the resolution; 0 if nothing changed
	Noise    Delta         // standard deviation of neighbours in a steady bath
	Lag      time.Duration // 63 % time of the plunge; 0 if it could not be told
}

// Judge measures a probe by its readings in a steady bath, such as boiling
// water, and by those of a plunge from one bath into a much hotter one. Either
// may be empty.
func Judge(steady, plunge []Reading) Quality {
	var q Quality
	bath, hot := q.good(steady), q.good(plunge)
	q.Interval = interval(bath, hot)
	q.Step = smallestStep(bath, hot)
	q.Noise = noise(bath)
	q.Lag = plungeLag(hot)
	return q
}

// good counts the readings and returns those without fault.
func (q *Quality) good(all []Reading) (good []Reading) {
	for _, r := range all {
		q.Readings++
		if r.Fault != FaultNone {
			q.Faults++
			continue
		}
		good = append(good, r)
	}
	return good
}

func interval(series ...[]Reading) time.Duration {
	var sum time.Duration
	n := 0
	for _, s := range series {
		if len(s) > 1 {
			sum += s[len(s)-1].At - s[0].At
			n += len(s) - 1
		}
	}
	if n == 0 {
		return 0
	}
	return sum / time.Duration(n)
}

func smallestStep(series ...[]Reading) Delta {
	least := math.Inf(1)
	for _, s := range series {
		for i := 1; i < len(s); i++ {
			if d := math.Abs(float64(s[i].C - s[i-1].C)); d > 1e-4 {
				least = min(least, d)
			}
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return Delta(least)
}

// noise is the standard deviation by the differences of neighbours, which a
// slow drift of the bath does not swell (von Neumann, 1941).
func noise(s []Reading) Delta {
	if len(s) < 2 {
		return 0
	}
	sum := 0.0
	for i := 1; i < len(s); i++ {
		d := float64(s[i].C - s[i-1].C)
		sum += d * d
	}
	return Delta(math.Sqrt(sum / float64(2*(len(s)-1))))
}

// plungeLag returns the time constant of a plunge without knowing its moment:
// a first-order lag takes two thirds of it from 28.3 % of the way to 63.2 %.
func plungeLag(s []Reading) time.Duration {
	if len(s) < 8 {
		return 0
	}
	first, last := s[0].C, mean(s[len(s)-len(s)/8-1:])
	if last-first < 20 {
		return 0
	}
	early, ok1 := crossing(s, first+0.28347*(last-first)) // 1 − e^(−1/3)
	late, ok2 := crossing(s, first+0.63212*(last-first))  // 1 − 1/e
	if !ok1 || !ok2 {
		return 0
	}
	return (late - early) * 3 / 2
}

func mean(s []Reading) Celsius {
	sum := Celsius(0)
	for _, r := range s {
		sum += r.C
	}
	return sum / Celsius(len(s))
}

// crossing returns when the readings first rise through c.
func crossing(s []Reading, c Celsius) (time.Duration, bool) {
	for i := 1; i < len(s); i++ {
		a, b := s[i-1], s[i]
		if a.C < c && b.C >= c {
			part := float64(c-a.C) / float64(b.C-a.C)
			return a.At + time.Duration(part*float64(b.At-a.At)), true
		}
	}
	return 0, false
}

// Verdict says whether the probe is good enough to pull within 1 °F, and what
// stands against it, in a cook's words, worst first. A lag that could not be
// told is not held against it.
func (q Quality) Verdict(u Unit) (good bool, why []string) {
	no := func(format string, a ...any) { why = append(why, fmt.Sprintf(format, a...)) }
	if q.Readings-q.Faults < 10 {
		return false, []string{"there are too few good readings to judge by"}
	}
	if share := float64(q.Faults) / float64(q.Readings); share > 1-goodShare {
		no("%.0f of 100 readings are faulty: check its plug and lead", 100*share)
	}
	if q.Lag > mostLag {
		no("it follows a change only after %.0f s, in which the climb passes more than 1 °F: take a thinner probe", q.Lag.Seconds())
	}
	if q.Interval > goodInterval {
		no("it gives a reading only every %.1f s: have it send at least one in 2 s", q.Interval.Seconds())
	}
	if q.Noise > goodNoise {
		no("its readings jump by %s: keep its lead away from the hob, or take a shielded one", u.Diff(2*q.Noise, 1))
	}
	if q.Step > goodStep {
		no("its steps of %s are too coarse: set it to show tenths", u.Diff(q.Step, 1))
	}
	return len(why) == 0, why
}

// NeedsLag reports whether the lag is long enough that the program should be
// told of it.
func (q Quality) NeedsLag() bool { return q.Lag > goodLag }
