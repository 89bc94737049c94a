package sessions

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

// FormatName and FormatVersion stand in a session file's first line. The
// version rises only when an older reader would read a file wrongly.
const (
	FormatName    = "boildown session"
	FormatVersion = 1
)

// Header is all that a batch was told before its first input.
type Header struct {
	Start        time.Time  // wall clock at the batch's time 0, with its zone
	Zone         string     // the zone's name, as in "Europe/Lisbon"; may be empty
	Recipe       string     // the recipe's name; empty when none was given
	RecipeText   string     // the recipe file as it was then
	Probe        string     // what gave the readings, as in "sim" or a port's name
	Fold         string     // version of the fold that raised the prompts
	Program      string     // version of the program that recorded
	PressureFrom string     // how the pressure is known, as in "altitude 300 m"; empty when it is not
	TargetFrom   string     // where the target comes from, as in "recipe"
	Cook         string     // who cooked, by any name; empty when nobody said
	Hob          string     // what it was cooked on, by any name; empty when nobody said
	HabitsFrom   string     // which settings were learned from past batches, and from how many; empty for none
	Unit         probe.Unit // the scale that the cook read
	Demo         bool       // the batch is invented: a simulated pot
	Config       plateau.Config
}

// maxRecipe bounds the stored recipe text, in bytes.
const maxRecipe = 32 << 10

type wireHeader struct {
	K            string     `json:"k"` // "head"
	Format       string     `json:"format"`
	V            int        `json:"v"`
	Start        time.Time  `json:"start"`
	Zone         string     `json:"zone,omitempty"`
	Recipe       string     `json:"recipe,omitempty"`
	RecipeText   string     `json:"recipe_text,omitempty"`
	Probe        string     `json:"probe,omitempty"`
	Fold         string     `json:"fold,omitempty"`
	Program      string     `json:"program,omitempty"`
	PressureFrom string     `json:"pressure_from,omitempty"`
	TargetFrom   string     `json:"target_from,omitempty"`
	Cook         string     `json:"cook,omitempty"`
	Hob          string     `json:"hob,omitempty"`
	HabitsFrom   string     `json:"habits_from,omitempty"`
	Unit         string     `json:"unit"`
	Demo         bool       `json:"demo,omitempty"`
	Config       wireConfig `json:"config"`
}

type wireConfig struct {
	Target    float64  `json:"target_c"`
	Pressure  float64  `json:"pressure_pa,omitempty"`
	Gain      float64  `json:"gain,omitempty"`
	Offset    float64  `json:"offset_k,omitempty"`
	Lag       float64  `json:"lag_s,omitempty"`
	Reaction  float64  `json:"reaction_s,omitempty"`
	CarryOver float64  `json:"carry_over_k,omitempty"`
	Near      float64  `json:"near_k,omitempty"`
	DipOpen   float64  `json:"dip_open_c,omitempty"`
	DipClose  float64  `json:"dip_close_c,omitempty"`
	Melt      *wireMix `json:"melt,omitempty"`
	Cream     *wireMix `json:"cream,omitempty"`
	PotJK     float64  `json:"pot_j_per_k,omitempty"`
	CreamC    float64  `json:"cream_c,omitempty"`
}

type wireMix struct {
	Water   float64 `json:"water_g,omitempty"`
	Fat     float64 `json:"fat_g,omitempty"`
	Solutes float64 `json:"solutes_g,omitempty"`
	Protein float64 `json:"protein_g,omitempty"`
	Ash     float64 `json:"ash_g,omitempty"`
	MolG    float64 `json:"g_per_mol,omitempty"`
}

// line returns the header's line. It fails for numbers that are not finite.
func (h Header) line() ([]byte, error) {
	b, err := sealed(h.wire())
	if err != nil {
		return nil, fmt.Errorf("sessions: writing the header: %w", err)
	}
	return b, nil
}

func (h Header) wire() wireHeader {
	unit := "C"
	if h.Unit == probe.UnitF {
		unit = "F"
	}
	return wireHeader{
		K: "head", Format: FormatName, V: FormatVersion,
		Start: h.Start.Round(time.Millisecond), Zone: clean(h.Zone, 80),
		Recipe: clean(h.Recipe, 200), RecipeText: cleanLines(h.RecipeText, maxRecipe),
		Probe: clean(h.Probe, 200), Fold: clean(h.Fold, 80), Program: clean(h.Program, 80),
		PressureFrom: clean(h.PressureFrom, 200), TargetFrom: clean(h.TargetFrom, 200),
		Cook: clean(h.Cook, 80), Hob: clean(h.Hob, 80), HabitsFrom: clean(h.HabitsFrom, 200),
		Unit: unit, Demo: h.Demo, Config: wireOf(h.Config),
	}
}

// Stored returns the header as a file gives it back, so that a cook can start
// the fold from exactly what its replay will start from.
func (h Header) Stored() Header { return h.wire().header() }

func (w wireHeader) header() Header {
	h := Header{
		Start: w.Start, Zone: clean(w.Zone, 80), Recipe: clean(w.Recipe, 200),
		RecipeText: cleanLines(w.RecipeText, maxRecipe), Probe: clean(w.Probe, 200),
		Fold: clean(w.Fold, 80), Program: clean(w.Program, 80),
		PressureFrom: clean(w.PressureFrom, 200), TargetFrom: clean(w.TargetFrom, 200),
		Cook: clean(w.Cook, 80), Hob: clean(w.Hob, 80), HabitsFrom: clean(w.HabitsFrom, 200),
		Demo: w.Demo, Config: w.Config.config(),
	}
	if w.Unit == "F" {
		h.Unit = probe.UnitF
	}
	return h
}

func wireOf(c plateau.Config) wireConfig {
	return wireConfig{
		Target: float64(c.Target), Pressure: c.Pressure,
		Gain: c.Calibration.Gain, Offset: float64(c.Calibration.Offset),
		Lag: seconds(c.Lag), Reaction: seconds(c.Reaction),
		CarryOver: float64(c.CarryOver), Near: float64(c.Near),
		DipOpen: float64(c.DipOpen), DipClose: float64(c.DipClose),
		Melt: wireMixOf(c.Batch.Melt), Cream: wireMixOf(c.Batch.Cream), PotJK: c.Batch.PotJK, CreamC: c.Batch.CreamC,
	}
}

func (w wireConfig) config() plateau.Config {
	return plateau.Config{
		Target: probe.Celsius(w.Target), Pressure: w.Pressure,
		Calibration: probe.Calibration{Gain: w.Gain, Offset: probe.Delta(w.Offset)},
		Lag:         fromSeconds(w.Lag), Reaction: fromSeconds(w.Reaction),
		CarryOver: probe.Delta(w.CarryOver), Near: probe.Delta(w.Near),
		DipOpen: probe.Celsius(w.DipOpen), DipClose: probe.Celsius(w.DipClose),
		Batch: plateau.Batch{Melt: w.Melt.mix(), Cream: w.Cream.mix(), PotJK: w.PotJK, CreamC: w.CreamC},
	}
}

func wireMixOf(m syrup.Mix) *wireMix {
	if m == (syrup.Mix{}) {
		return nil
	}
	return &wireMix{Water: m.Water, Fat: m.Fat, Solutes: m.Solutes, Protein: m.Protein, Ash: m.Ash, MolG: m.MolG}
}

func (w *wireMix) mix() syrup.Mix {
	if w == nil {
		return syrup.Mix{}
	}
	return syrup.Mix{Water: w.Water, Fat: w.Fat, Solutes: w.Solutes, Protein: w.Protein, Ash: w.Ash, MolG: w.MolG}
}

// parseHeader reads a first line. sound is false when its checksum fails but
// its object can still be read.
func parseHeader(line []byte) (h Header, sound bool, err error) {
	var w wireHeader
	_, sound = unseal(line)
	if jsonErr := json.Unmarshal(line, &w); jsonErr != nil || w.Format != FormatName || w.V < 1 {
		if !sound || jsonErr == nil {
			return h, false, ErrNotSession
		}
		return h, false, fmt.Errorf("%w: %v", ErrNotSession, jsonErr)
	}
	if w.V > FormatVersion && sound {
		return h, sound, &VersionError{Version: w.V, By: clean(strings.TrimSpace(w.Program), 80)}
	}
	return w.header(), sound, nil
}

func seconds(d time.Duration) float64 { return float64(d.Round(time.Millisecond).Milliseconds()) / 1e3 }

func fromSeconds(s float64) time.Duration {
	return time.Duration(bounded(s)*1e3+halfUp(s)) * time.Millisecond
}

// maxTime bounds a batch; anything later in a file is not a time.
const maxTime = 30 * 24 * time.Hour

func bounded(s float64) float64 { return max(min(s, maxTime.Seconds()), -maxTime.Seconds()) }

func halfUp(s float64) float64 {
	if s < 0 {
		return -0.5
	}
	return 0.5
}
