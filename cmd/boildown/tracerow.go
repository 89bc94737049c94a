package main

import (
	"bufio"
	"encoding/json"
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// row is one line of trace. The order of its fields is the order of the keys,
// and both are promised to scripts.
type row struct {
	Seconds   float64      `json:"seconds"`
	Celsius   *float64     `json:"celsius"`
	Fault     string       `json:"fault"`
	Phase     string       `json:"phase"`
	Stalled   bool         `json:"stalled"`
	Slope     *float64     `json:"slope_c_per_min"`
	Forecast  *rowForecast `json:"forecast"`
	Why       string       `json:"forecast_why"`
	Water     *float64     `json:"water_fraction"`
	Prompting []rowPrompt  `json:"prompts"`
}

type rowForecast struct {
	ETA  float64 `json:"eta_s"`
	Low  float64 `json:"low_s"`
	High float64 `json:"high_s"`
	By   string  `json:"by"`
}

type rowPrompt struct {
	Kind string `json:"kind"`
	Text string `json:"text"`
}

// rowWriter writes rows as JSON Lines. A live writer flushes each, so that a
// pipe fed by a cook prints at once.
type rowWriter struct {
	out  *bufio.Writer
	live bool
}

func (w *rowWriter) write(r row) error {
	enc := json.NewEncoder(w.out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(r); err != nil {
		return err
	}
	if w.live {
		return w.out.Flush()
	}
	return nil
}

// tracer folds inputs and turns readings into rows.
type tracer struct {
	rows    *rowWriter
	state   plateau.State
	unit    probe.Unit
	pending []rowPrompt    // begun since the last row
	last    plateau.Advice // of the last input
}

func newTracer(rows *rowWriter, cfg plateau.Config, unit probe.Unit) *tracer {
	return &tracer{rows: rows, state: plateau.Start(cfg), unit: unit, pending: []rowPrompt{}}
}

// step folds one input and keeps the prompts that it begins for the next row.
func (t *tracer) step(in plateau.Input) plateau.Advice {
	var a plateau.Advice
	t.state, a = plateau.Step(t.state, in)
	for p := range a.Began.All {
		t.pending = append(t.pending, rowPrompt{Kind: p.String(), Text: p.Text(a, t.unit)})
	}
	t.last = a
	return a
}

// row writes the row of the line that was stepped last. It shows the number
// even where the fold refused it, on the corrected scale; only a line without
// a number is null.
func (t *tracer) row(at time.Duration, c probe.Celsius, hasC bool, a plateau.Advice) error {
	var celsius *float64
	if hasC {
		celsius = rounded(float64(t.state.Config().Calibration.Apply(c)), 3)
	}
	return t.write(at, celsius, a)
}

// close writes a closing row for prompts that no reading followed.
func (t *tracer) close() error {
	if len(t.pending) == 0 {
		return nil
	}
	return t.write(t.last.At, nil, t.last)
}

func (t *tracer) write(at time.Duration, celsius *float64, a plateau.Advice) error {
	r := row{
		Seconds: *rounded(at.Seconds(), 3), Celsius: celsius, Fault: a.Fault.String(), Phase: a.Phase.String(),
		Stalled: a.Stalled, Slope: rounded(a.Slope, 3), Why: a.Why.String(), Prompting: t.pending,
	}
	if f := a.Forecast; f.Ok() {
		r.Forecast = &rowForecast{ETA: f.ETA.Seconds(), Low: f.Low.Seconds(), High: f.High.Seconds(), By: f.By.String()}
		for _, s := range []*float64{&r.Forecast.ETA, &r.Forecast.Low, &r.Forecast.High} {
			*s = *rounded(*s, 1)
		}
	}
	if a.HasWater {
		r.Water = rounded(a.Water, 4)
	}
	t.pending = t.pending[:0]
	return t.rows.write(r)
}

// hasNumber reports whether a reading with the fault f carries a temperature
// at all: one without has a fault that only a source can tell.
func hasNumber(f probe.Fault) bool {
	switch f {
	case probe.FaultEmpty, probe.FaultGarbled, probe.FaultOpen, probe.FaultShort, probe.FaultGone, probe.FaultSilent, probe.FaultReported:
		return false
	}
	return true
}

// rounded returns x to the given decimals, nil when it is not finite. Adding
// zero turns a negative zero into a plain one.
func rounded(x float64, decimals int) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	p := math.Pow10(decimals)
	x = math.Round(x*p)/p + 0
	return &x
}
