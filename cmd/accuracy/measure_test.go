package main

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe/pot"
)

// seer is told the arrival beforehand, and is wrong by a factor of its own.
type seer struct {
	arrival float64
	factor  float64
	target  pullsAt
}

func (s *seer) step(in plateau.Input) plateau.Advice {
	a := s.target.step(in)
	a.At = in.At
	left := s.arrival - in.At.Seconds()
	if left <= 0 {
		return a
	}
	d := func(f float64) time.Duration { return time.Duration(f * left * float64(time.Second)) }
	a.Forecast = plateau.Forecast{ETA: d(s.factor), Low: d(0.9 * s.factor), High: d(1.1 * s.factor), By: plateau.ByStallLine}
	a.Phase, a.Stalled = plateau.Stall, true
	if left < 60 {
		a.Began = a.Began.With(plateau.NearTarget)
	}
	return a
}

// foreseen runs the clean cook before a seer of that factor.
func foreseen(factor float64) result {
	h := clean()
	first := cook(h, pullsAt{h.Target}, nil)
	return measure(cook(h, &seer{arrival: first.arrival, factor: factor, target: pullsAt{h.Target}}, nil))
}

func TestAPerfectForecastMeasuresAsPerfect(t *testing.T) {
	r := foreseen(1)
	for k, p := range r.point {
		if !p.valid {
			t.Errorf("%s was not judged", pointNames[k])
		}
		if p.err[us] > 1e-3 {
			t.Errorf("%s: %.4f wrong", pointNames[k], p.err[us])
		}
	}
	if r.answered != r.due || r.covered != r.intervals || r.due < 400 {
		t.Errorf("%d of %d answered, %d of %d covered", r.answered, r.due, r.covered, r.intervals)
	}
	if r.stallDelay != 0 || r.stallFalse {
		t.Errorf("stall seen after %v s, false %v", r.stallDelay, r.stallFalse)
	}
	if r.nearMiss || math.Abs(r.nearAhead-60) > 1.5 {
		t.Errorf("near-target %v s ahead, missed %v", r.nearAhead, r.nearMiss)
	}
}

func TestAForecastHalfAsLongAgainMeasuresAsThat(t *testing.T) {
	r := foreseen(1.5)
	for k, p := range r.point {
		if math.Abs(p.err[us]-0.5) > 1e-3 {
			t.Errorf("%s: %.4f wrong, want 0.5", pointNames[k], p.err[us])
		}
	}
	if r.covered != 0 {
		t.Errorf("%d readings count as covered", r.covered)
	}
}

func TestNoForecastIsAllWrong(t *testing.T) {
	h := clean()
	r := measure(cook(h, pullsAt{h.Target}, nil))
	for k, p := range r.point {
		if p.err[us] != 1 {
			t.Errorf("%s: silence is %.2f wrong, want 1", pointNames[k], p.err[us])
		}
	}
	if r.answered != 0 || !r.nearMiss || !math.IsInf(r.stallDelay, 1) {
		t.Errorf("answered %d, near missed %v, stall after %v", r.answered, r.nearMiss, r.stallDelay)
	}
	// It pulls when the display shows the target: 2 s late and a carry-over.
	if r.peakOff < 0.1 || r.peakOff > 1 {
		t.Errorf("peak %.2f K over the target", r.peakOff)
	}
}

func TestCooksThatCannotArriveAreCountedApart(t *testing.T) {
	for n := range 400 {
		h := pot.HardCook(1, n)
		if h.Kind.Arrives() {
			continue
		}
		h.Config.Probe.Every = 2 * time.Second
		r := measure(cook(h, &seer{arrival: 1e9, factor: 1, target: pullsAt{1000}}, nil))
		if r.cannot == 0 || r.pretended != r.cannot {
			t.Errorf("cook %d (%v): %d of %d readings of a liar counted", n, h.Kind, r.pretended, r.cannot)
		}
		if n > 120 {
			break
		}
	}
}

// Straight data are extrapolated exactly; a parabola needs the parabola.
func TestExtrapolations(t *testing.T) {
	var rows []row
	for s := 0.0; s <= 120; s++ {
		rows = append(rows, row{at: s, c: 100 + 0.05*s, ok: true})
	}
	if got := straight(rows, 120, 30, 112); math.Abs(got-120) > 1e-6 {
		t.Errorf("straight line: %v s, want 120", got)
	}
	for i := range rows {
		rows[i].c = 100 + 0.0005*rows[i].at*rows[i].at // 112.8 °C after 160 s
	}
	if got := quadratic(rows, 120, 120, 112.8); math.Abs(got-40) > 1e-4 {
		t.Errorf("quadratic: %v s, want 40", got)
	}
	if got := straight(rows[:2], 1, 30, 112); !math.IsNaN(got) {
		t.Errorf("two readings give %v, want no answer", got)
	}
	for _, c := range []struct{ eta, left, want float64 }{{nan, 100, 1}, {-5, 100, 1}, {0, 100, 1}, {80, 100, 0.2}, {250, 100, 1.5}} {
		if got := wrong(c.eta, c.left); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("wrong(%v, %v) = %v, want %v", c.eta, c.left, got, c.want)
		}
	}
}

func TestRunPrintsItsTables(t *testing.T) {
	var b bytes.Buffer
	if err := run(options{cooks: 4, pulls: 2, seed: 5, slice: "all"}, &b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"STALL RECOGNISED", "ANSWERS", "FORECAST ERROR", "SLICES", "AFTER A CHANGE", "PULL", "NEAR-TARGET", "fold version " + plateau.Version} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, b.String())
		}
	}
	if err := run(options{slice: "no-such"}, &b); err == nil || !strings.Contains(err.Error(), "no-such") {
		t.Errorf("an unknown slice gives %v", err)
	}
}
