package main

import (
	"encoding/json"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/ui"
)

// potState is what a cook leaves at its broker for whoever looks later: the
// retained message of the topic base/state. Keys are only ever added.
type potState struct {
	Name     string              `json:"name"`
	Seconds  float64             `json:"seconds"` // since the batch began
	Celsius  *float64            `json:"celsius"` // null when the pot's temperature is not known
	Fault    string              `json:"fault"`   // "" or why the readings are not used now
	Phase    string              `json:"phase"`
	Target   *float64            `json:"target_c"`
	Slope    *float64            `json:"slope_c_per_min"`
	Forecast *potForecast        `json:"forecast"`
	Why      string              `json:"forecast_why"`
	Prompts  []potPrompt         `json:"prompts"`  // that stand
	Also     map[string]*float64 `json:"also"`     // the other channels, °C
	Silent   float64             `json:"silent_s"` // since the last line came from the probe
	Linked   bool                `json:"linked"`
	Note     string              `json:"note"` // of the probe, with its remedy
	Over     bool                `json:"over"` // the cook has ended the batch
	Sent     time.Time           `json:"sent"`
}

type potForecast struct {
	rowForecast
	Guess bool `json:"guess"`
}

type potPrompt struct {
	rowPrompt
	Heard bool `json:"heard"` // the cook has acknowledged it
}

// stateOf says how a batch stands.
func stateOf(name string, s ui.Snapshot, u probe.Unit) potState {
	a := s.Advice
	is := potState{
		Name: name, Seconds: *rounded(s.At.Seconds(), 1), Fault: a.Doubt.String(), Phase: a.Phase.String(),
		Target: rounded(float64(a.Target), 2), Slope: rounded(a.Slope, 2), Forecast: forecastOf(a.Forecast), Why: a.Why.String(),
		Prompts: []potPrompt{}, Also: map[string]*float64{},
		Silent: *rounded(s.Silent.Seconds(), 1), Linked: s.Linked, Note: s.Note, Over: s.Ended,
	}
	if a.HasNow {
		is.Celsius = rounded(float64(a.Now), 2)
	}
	for _, side := range s.Sides {
		is.Also[side.Name] = nil
		if side.Fault == probe.FaultNone {
			is.Also[side.Name] = rounded(float64(side.C), 2)
		}
	}
	for p := range a.Standing.All {
		is.Prompts = append(is.Prompts, potPrompt{rowPrompt{p.String(), p.Text(a, u)}, a.Quiet.Has(p)})
	}
	return is
}

func forecastOf(f plateau.Forecast) *potForecast {
	if !f.Ok() {
		return nil
	}
	return &potForecast{rowForecast{
		ETA: *rounded(f.ETA.Seconds(), 1), Low: *rounded(f.Low.Seconds(), 1), High: *rounded(f.High.Seconds(), 1), By: f.By.String(),
	}, f.Guess}
}

// readState reads a state from a broker, where anybody may have written.
func readState(payload []byte) (s potState, ok bool) {
	err := json.Unmarshal(payload, &s)
	_, known := phaseFor(s.Phase)
	return s, err == nil && known
}

func phaseFor(word string) (plateau.Phase, bool) {
	for p := plateau.Wait; p <= plateau.Done; p++ {
		if p.String() == word {
			return p, true
		}
	}
	return plateau.Wait, false
}

// pot is the state as the screen of many pots needs it.
func (s potState) pot() ui.Pot {
	is := ui.Pot{
		Name: s.Name, Silent: seconds(s.Silent), Linked: s.Linked, Note: s.Note, Over: s.Over, Texts: map[plateau.Prompt]string{},
	}
	a := &is.Advice
	a.At = seconds(s.Seconds)
	a.Phase, _ = phaseFor(s.Phase)
	if c := s.Celsius; c != nil {
		a.Now, a.HasNow = probe.Celsius(*c), true
	}
	if c := s.Target; c != nil {
		a.Target = probe.Celsius(*c)
	}
	if v := s.Slope; v != nil {
		a.Slope = *v
	}
	var known bool
	if a.Doubt, known = probe.FaultFor(s.Fault); !known {
		a.Doubt = probe.FaultReported
	}
	if f := s.Forecast; f != nil {
		a.Forecast = plateau.Forecast{ETA: seconds(f.ETA), Low: seconds(f.Low), High: seconds(f.High), By: plateau.BySlope, Guess: f.Guess}
	}
	for w := plateau.WhyNot; w <= plateau.WhyDoubtful; w++ {
		if w.String() == s.Why {
			a.Why = w
		}
	}
	for _, said := range s.Prompts {
		p, ok := plateau.PromptFor(said.Kind)
		if !ok {
			continue
		}
		a.Standing = a.Standing.With(p)
		if said.Heard {
			a.Quiet = a.Quiet.With(p)
		}
		is.Texts[p] = said.Text
	}
	return is
}

// seconds reads a stretch of time that somebody else wrote.
func seconds(s float64) time.Duration {
	const most = 1e6
	if !(s > 0) {
		return 0
	}
	return time.Duration(min(s, most) * float64(time.Second))
}
