package plateau

import (
	"math"
	"reflect"
	"slices"
	"testing"
	"time"

	"boildown/probe"
)

// someInputs is a run of inputs that touches every kind, with faults, marks
// and gaps among them.
func someInputs(n int) []Input {
	ins := make([]Input, 0, n)
	at := time.Duration(0)
	for i := range n {
		at += 700 * time.Millisecond
		c := 20 + float64(i)*0.9
		switch {
		case i > 180 && i < 200:
			c = 170 - float64(i-180)*3.4
		case i >= 200:
			c = 103 + float64(i-200)*0.012 + 0.1*math.Sin(float64(i))
		}
		in := Reading(probe.Reading{At: at, C: probe.Celsius(c)})
		switch i {
		case 3:
			in = Input{Kind: Marked, At: at, Mark: MarkMeltStart}
		case 180:
			in = Input{Kind: Marked, At: at, Mark: MarkCreamStart}
		case 205:
			in = Input{Kind: Marked, At: at, Mark: MarkCreamEnd, Ago: 2 * time.Second}
		case 230, 231, 232:
			in.Fault = probe.FaultOpen
		case 240:
			in = Input{Kind: Silent, At: at}
		case 250:
			in = Input{Kind: Marked, At: at, Mark: MarkHeatDown}
		case 255:
			in = Input{Kind: Undone, At: at}
		case 260:
			in = Input{Kind: Retargeted, At: at, Target: 110}
		case 265:
			in = Input{Kind: Acknowledged, At: at}
		case 270:
			in = Input{Kind: Resumed, At: at}
		case 290:
			in = Input{Kind: Marked, At: at, Mark: MarkPull}
		}
		ins = append(ins, in)
	}
	return ins
}

func testConfig() Config {
	return Config{Target: probe.Fahrenheit(235), Pressure: 101325, Lag: 3 * time.Second}
}

func TestStep_leavesTheOldStateUsable(t *testing.T) {
	s := Start(testConfig())
	for i, in := range someInputs(300) {
		old := s
		first, a := Step(s, in)
		second, b := Step(s, in)
		if s != old {
			t.Fatalf("input %d changed the state that it was given", i)
		}
		if first != second || a != b {
			t.Fatalf("input %d stepped twice from one state gave two results", i)
		}
		s = first
	}
}

func TestStep_splitAnywhereIsTheWhole(t *testing.T) {
	ins := someInputs(300)
	fold := func(s State, ins []Input) State {
		for _, in := range ins {
			s, _ = Step(s, in)
		}
		return s
	}
	whole := fold(Start(testConfig()), ins)
	for cut := 0; cut <= len(ins); cut += 7 {
		if got := fold(fold(Start(testConfig()), ins[:cut]), ins[cut:]); got != whole {
			t.Fatalf("cut at %d: the fold of the halves is not the fold of the whole", cut)
		}
	}
}

func TestFold_isStepByStep(t *testing.T) {
	ins := someInputs(300)
	start := Start(testConfig())
	s, i := start, 0
	for in, got := range Fold(start, slices.Values(ins)) {
		var want Advice
		if s, want = Step(s, ins[i]); in != ins[i] || got != want {
			t.Fatalf("input %d: Fold and Step differ", i)
		}
		i++
	}
	if i != len(ins) || start != Start(testConfig()) {
		t.Errorf("%d of %d inputs folded, or the state that began it is changed", i, len(ins))
	}
}

func TestStep_refusesTimeThatRunsBackwards(t *testing.T) {
	s := Start(testConfig())
	for _, in := range someInputs(280) {
		s, _ = Step(s, in)
	}
	for _, in := range []Input{
		Reading(probe.Reading{At: s.at - time.Millisecond, C: 108}),
		{Kind: Marked, Mark: MarkPull, At: s.at - time.Second},
		{Kind: Silent, At: -time.Second},
		{Kind: Undone, At: 1 << 62},
	} {
		after, a := Step(s, in)
		if after != s {
			t.Errorf("kind %d at %v changed the state", in.Kind, in.At)
		}
		if a.Fault != probe.FaultOutOfOrder || a.Began != 0 {
			t.Errorf("kind %d at %v: fault %q, began %b; want out of order and nothing begun", in.Kind, in.At, a.Fault, a.Began)
		}
	}
	if _, a := Step(s, Reading(probe.Reading{At: s.at, C: 104})); a.Fault == probe.FaultOutOfOrder {
		t.Error("a second reading at the same time was refused")
	}
}

func TestStep_allocatesNothing(t *testing.T) {
	ins := someInputs(300)
	s := Start(testConfig())
	i := 0
	if n := testing.AllocsPerRun(len(ins)-1, func() {
		s, _ = Step(s, ins[i])
		i++
	}); n != 0 {
		t.Errorf("%v allocations a step, want 0", n)
	}
}

func TestStart_readsNonsenseAsNotGiven(t *testing.T) {
	nan := math.NaN()
	s := Start(Config{
		Target: probe.Celsius(nan), Pressure: math.Inf(1), CarryOver: probe.Delta(nan), Near: -3,
		Calibration: probe.Calibration{Gain: nan, Offset: probe.Delta(math.Inf(-1))},
		Lag:         -time.Hour, Reaction: 1 << 62, DipOpen: probe.Celsius(nan),
	})
	if v := firstNaN(reflect.ValueOf(s), "State"); v != "" {
		t.Errorf("%s is not a finite number", v)
	}
	if s != s {
		t.Error("the state is not equal to itself")
	}
}

// firstNaN names the first float in v that is not finite.
func firstNaN(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return path
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if p := firstNaN(v.Field(i), path+"."+v.Type().Field(i).Name); p != "" {
				return p
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			if p := firstNaN(v.Index(i), path+"[]"); p != "" {
				return p
			}
		}
	}
	return ""
}

// holdsReference names the first part of a type that a comparable value
// without references must not have. Strings are allowed in an Input only.
func holdsReference(t reflect.Type, path string) string {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Map, reflect.Func, reflect.Chan, reflect.Interface, reflect.String:
		return path + " " + t.String()
	case reflect.Struct:
		for i := range t.NumField() {
			if p := holdsReference(t.Field(i).Type, path+"."+t.Field(i).Name); p != "" {
				return p
			}
		}
	case reflect.Array:
		return holdsReference(t.Elem(), path+"[]")
	}
	return ""
}

func TestState_holdsNoReferences(t *testing.T) {
	if p := holdsReference(reflect.TypeFor[State](), "State"); p != "" {
		t.Errorf("%s would let two states share memory", p)
	}
}

// TestStep_isDeafToTheHourOfTheBatch shifts all times: the same cook a quarter
// of an hour later in the batch's clock is the same cook.
func TestStep_isDeafToTheHourOfTheBatch(t *testing.T) {
	const shift = 900 * time.Second
	a, b := Start(testConfig()), Start(testConfig())
	for i, in := range someInputs(300) {
		later := in
		later.At += shift
		var x, y Advice
		a, x = Step(a, in)
		b, y = Step(b, later)
		if x.Phase != y.Phase || x.Began != y.Began || x.Fault != y.Fault || x.Forecast.Ok() != y.Forecast.Ok() {
			t.Fatalf("input %d: %v %b %v, shifted %v %b %v", i, x.Phase, x.Began, x.Fault, y.Phase, y.Began, y.Fault)
		}
	}
}

// TestStep_calibrationTakesAnOffsetAway reads the same pot by a probe that is
// 1.3 °C too high and calibrated for it.
func TestStep_calibrationTakesAnOffsetAway(t *testing.T) {
	const off = 1.25
	cfg := testConfig()
	a := Start(cfg)
	cfg.Calibration = probe.Calibration{Offset: -off}
	b := Start(cfg)
	for i, in := range someInputs(300) {
		high := in
		if in.Kind == Measured {
			high.C += off
		}
		var x, y Advice
		a, x = Step(a, in)
		b, y = Step(b, high)
		if x.Phase != y.Phase || x.Began != y.Began || x.Fault != y.Fault || math.Abs(float64(x.Now-y.Now)) > 1e-6 {
			t.Fatalf("input %d: %v %b %v %.4f, offset %v %b %v %.4f", i, x.Phase, x.Began, x.Fault, x.Now, y.Phase, y.Began, y.Fault, y.Now)
		}
	}
}

// The first reading is shown as it comes, not a second later.
func TestFirstReadingIsShown(t *testing.T) {
	for _, at := range []time.Duration{0, 400 * time.Millisecond, 3 * time.Second} {
		_, a := Step(Start(Config{Target: 112.8}), Input{Kind: Measured, At: at, C: 104.5})
		if !a.HasNow || a.Now != 104.5 {
			t.Errorf("after the first reading, at %v: %v, %v; want 104.5 °C", at, a.Now, a.HasNow)
		}
	}
}
