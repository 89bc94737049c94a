package plateau

import (
	"time"

	"boildown/probe"
)

// Phase is where the cook is.
type Phase uint8

// The phases in the order of a cook. Their words are part of trace's contract.
const (
	Wait   Phase = iota // nothing has begun
	Melt                // sugar melts dry
	Cream               // cream goes in
	Stall               // the pot boils and the thermometer stands nearly still
	Climb               // the boiling point stands 12 °F above water's and runs to the target
	Pulled              // off the heat, cooling
	Dip                 // inside the dip window
	Done                // too cool to dip
	phaseCount
)

var phaseWords = [phaseCount]string{"wait", "melt", "cream", "stall", "climb", "pulled", "dip", "done"}

// String returns the phase's word.
func (p Phase) String() string {
	if p >= phaseCount {
		return "wait"
	}
	return phaseWords[p]
}

// Method names the estimate behind a forecast.
type Method uint8

// The two estimates; the zero value is no forecast.
const (
	NoMethod    Method = iota
	ByStallLine        // straight line of y = z − κT against time
	BySlope            // the slope of the temperature itself
)

// String returns the method's word in trace's output.
func (m Method) String() string {
	switch m {
	case ByStallLine:
		return "stall-line"
	case BySlope:
		return "slope"
	}
	return ""
}

// Why says why there is no forecast. The zero value says that there is one,
// or that none is due in this phase.
type Why uint8

// The reasons. Their words are part of trace's contract.
const (
	WhyNot         Why = iota
	WhyNoBoil          // the pot does not boil
	WhyTooEarly        // too little has been seen
	WhyNotOnItsWay     // this heat will not get there
	WhyHeatChanged     // the heat has just changed
	WhyDoubtful        // the readings are not to be trusted
	whyCount
)

var whyWords = [whyCount]string{"", "no-boil", "too-early", "not-on-its-way", "heat-changed", "doubtful"}

// String returns the reason's word in trace's output.
func (w Why) String() string {
	if w >= whyCount {
		return ""
	}
	return whyWords[w]
}

// Forecast is when the target arrives, counted from the advice that holds it.
// Low and High bound an 80 % interval. The zero value is no forecast.
type Forecast struct {
	ETA, Low, High time.Duration // 0 ≤ Low ≤ ETA ≤ High
	By             Method
	Guess          bool // readings have stopped and the last forecast runs on
}

// Open reports whether the late end of the interval is further off than can be
// foreseen: the target may not come at all.
func (f Forecast) Open() bool { return f.High > 2*time.Hour }

// Ok reports whether there is a forecast.
func (f Forecast) Ok() bool { return f.By != NoMethod }

// Advice is what the fold says at one input. It is a value without behaviour;
// [Prompt.Text] turns a prompt that it holds into words.
type Advice struct {
	At       time.Duration
	C        probe.Celsius // corrected reading of this input; meaningless unless Measured was usable or doubted
	HasC     bool          // C holds a value
	Fault    probe.Fault   // why C was not used
	Now      probe.Celsius // the filtered temperature, as of the last usable reading
	HasNow   bool
	Phase    Phase
	Stalled  bool    // the pot stands still: inside the stall, before the climb
	Slope    float64 // °C/min, 0 when unknown
	Forecast Forecast
	Why      Why
	Water    float64 // water's share of the whole mass, 0–1
	HasWater bool    // a recipe was given and the pot boils
	Target   probe.Celsius
	Near     probe.Delta   // near-target comes this far below the target
	Doubt    probe.Fault   // why the readings are not used now, FaultNone when they are
	Peak     probe.Celsius // hottest since the last time the pot went on the heat; 0 before the stall
	Began    Prompts       // prompts that begin at this input, each on one advice only
	Standing Prompts       // prompts that stand, those that began now among them
	Quiet    Prompts       // standing prompts that the cook has acknowledged

	Dark              time.Duration // until the melt is too dark at its present slope
	HasDark           bool
	Uneven            bool    // the melt colours while some of it is still dry
	CreamG            float64 // cream that can go in now without the pot dropping below the floor, g
	HasCream          bool
	CreamInG          float64       // cream in the pot by the heat that it has taken up, g
	CreamAll          bool          // by the same all of the recipe's cream is in
	CreamPlanG        float64       // all that the recipe has, g; 0 when unknown
	CreamWait         time.Duration // until the next portion, while hold-cream stands
	Floor             probe.Celsius // the creaming floor now; 0 outside the cream
	DipOpen, DipClose probe.Celsius // the dip window
	DipIn             time.Duration // until the dip window opens
	DipLeft           time.Duration // how long the window lasts from then, or from now on inside it
	HasDip            bool
}
