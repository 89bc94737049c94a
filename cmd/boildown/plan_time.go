package main

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"boildown/plateau"
	"boildown/sessions"
	"boildown/syrup"
)

// planMinutes is how long the pot boils from the last cream to the endpoint.
type planMinutes struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
	From   string  `json:"from"`
	Past   int     `json:"past_batches"` // that the figures rest on
}

// Net power of a hob into a small pot: a guess without source, as wide as
// hobs are.
const (
	guessLowW, guessW, guessHighW = 400.0, 600.0, 1000.0
	// How much of the cream's water has boiled off when its last portion is
	// in: none when it went in cold, a third when it went in slowly with the
	// heat on (by the heat balance of twelve portions); likely in between.
	creamingLoss, mostCreamingLoss = 0.2, 1.0 / 3
)

func newPlanMinutes(r *recipe, p *plan, ask planAsk) planMinutes {
	if len(ask.Past) > 0 && ask.HobW == 0 {
		return minutesFromPast(p, ask.Past)
	}
	low, likely, high, from := guessHighW, guessW, guessLowW,
		fmt.Sprintf("a guess: a hob that puts %.0f W into the pot, %.0f to %.0f W; your own batches of this recipe will replace it", guessW, guessLowW, guessHighW)
	past := 0
	switch w := ask.Habits.Power; {
	case ask.HobW > 0:
		low, likely, high = ask.HobW*1.25, ask.HobW, ask.HobW*0.8
		from = fmt.Sprintf("%.0f W into the pot, as told, give or take a fifth", ask.HobW)
	case w.N > 0:
		// Few batches say little of how far the next may stray.
		stray := 0.25 / math.Sqrt(float64(w.N))
		low, likely, high = max(w.High, w.Median*(1+stray)), w.Median, min(w.Low, w.Median*(1-stray))
		from = fmt.Sprintf("%.0f W into the pot, learned from %s of other recipes on this hob; batches of this one will replace it", w.Median, batches(w.N))
		past = w.N
	}
	boil := func(w, lost float64) float64 {
		start := r.creamed(lost)
		b := syrup.Boiling{Mix: start, PotJK: r.Batch.PotJK, PowerW: w, PressurePa: p.pPa}
		return b.Seconds(start.Boils(p.pPa), p.Endpoint.TargetC) / 60
	}
	return planMinutes{Low: boil(low, mostCreamingLoss), Likely: boil(likely, creamingLoss), High: boil(high, 0), From: from, Past: past}
}

// batches counts batches in words.
func batches(n int) string {
	if n == 1 {
		return "1 batch"
	}
	return fmt.Sprintf("%d batches", n)
}

// pastRun is one batch of the shelf: from the last cream to the pull.
type pastRun struct {
	Minutes float64
	OffG    float64 // water boiled off between the whole of it and the pull
}

// minutesFromPast scales what was measured by the water that is to go.
func minutesFromPast(p *plan, past []pastRun) planMinutes {
	var minutes []float64
	for _, run := range past {
		minutes = append(minutes, run.Minutes*p.Water.OffG/run.OffG)
	}
	slices.Sort(minutes)
	n := len(minutes)
	m := planMinutes{Low: minutes[0], High: minutes[n-1], Likely: (minutes[(n-1)/2] + minutes[n/2]) / 2, Past: n}
	// Few batches say little of how far the next may stray.
	spread := 0.25 / math.Sqrt(float64(n))
	m.Low, m.High = min(m.Low, m.Likely*(1-spread)), max(m.High, m.Likely*(1+spread))
	m.From = fmt.Sprintf("your last %d batches of this recipe, by the water to boil off", n)
	if n == 1 {
		m.From = "your last batch of this recipe, by the water to boil off"
	}
	return m
}

// mostPast is how many batches of the shelf a plan looks at.
const mostPast = 8

// pastRuns finds the newest batches of the recipe called name, on the hob of
// that name or on any for "". What cannot be read is passed over: a plan does
// not need it.
func pastRuns(dir, name, hob string) []pastRun {
	entries, err := sessions.List(dir)
	if err != nil {
		return nil
	}
	var runs []pastRun
	for _, e := range entries {
		if len(runs) == mostPast {
			break
		}
		if e.Recipe != name || hob != "" && e.Hob != hob || e.Demo || e.PullAt == 0 {
			continue
		}
		s, err := sessions.Read(filepath.Join(dir, e.Name))
		if err != nil {
			continue
		}
		if run, ok := pastRunOf(s, e); ok {
			runs = append(runs, run)
		}
	}
	return runs
}

// pastRunOf measures a batch whose last cream was marked.
func pastRunOf(s *sessions.Session, e sessions.Entry) (pastRun, bool) {
	var creamEnd float64 // min
	for in := range s.Inputs() {
		if in.Kind == plateau.Marked && in.Mark == plateau.MarkCreamEnd {
			creamEnd = (in.At - in.Ago).Minutes()
		}
	}
	cfg := s.Header.Config
	pPa := cfg.Pressure
	if pPa == 0 {
		pPa = syrup.StandardPressure
	}
	all := cfg.Batch.Melt.Add(cfg.Batch.Cream)
	run := pastRun{Minutes: e.PullAt.Minutes() - creamEnd, OffG: all.Water - all.WaterAt(float64(cfg.Target), pPa)}
	return run, creamEnd > 0 && run.Minutes > 1 && run.OffG > 1
}
