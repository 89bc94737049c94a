package main

import (
	"encoding/json"
	"math"
	"slices"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/mqtt"
	"boildown/sessions"
	"boildown/ui"
)

// keptMessages is an outlet that keeps what it is handed.
type keptMessages []mqtt.Seen

func (k *keptMessages) Publish(name string, payload []byte, retain bool) {
	*k = append(*k, mqtt.Seen{Topic: name, Payload: payload, Retained: retain})
}

// Everything that a cook hears goes to the broker once and in order, and a
// watcher reads out of the state what the cook's own screen shows.
func TestPublicist(t *testing.T) {
	var sent keptMessages
	var snap ui.Snapshot
	p := &publicist{out: &sent, name: "Stall dip (invented)", unit: probe.UnitF, soon: make(chan struct{}, 1), fresh: true, spoken: func() ui.Snapshot { return snap }}
	var prompts, phases []string
	readings := 0
	v := market()
	v.each = func(in plateau.Input, a plateau.Advice) {
		snap = ui.Snapshot{At: in.At, Advice: a, Linked: true}
		if n := len(phases); n == 0 || phases[n-1] != a.Phase.String() {
			phases = append(phases, a.Phase.String())
		}
		for prompt := range a.Began.All {
			prompts = append(prompts, prompt.String()+" "+prompt.Text(a, probe.UnitF))
		}
		if in.Kind == plateau.Measured && a.Fault == probe.FaultNone {
			readings++
		}
		p.watch(in, a)
		select {
		case <-p.soon:
			p.stand(false)
			sameAsSent(t, sent[len(sent)-1], a)
		default:
		}
	}
	v.cook()
	var gotPrompts, gotPhases []string
	gotReadings := 0
	for _, m := range sent {
		switch m.Topic {
		case "prompt":
			var said rowPrompt
			if err := json.Unmarshal(m.Payload, &said); err != nil || m.Retained {
				t.Errorf("prompt %s, retained %v: %v", m.Payload, m.Retained, err)
			}
			gotPrompts = append(gotPrompts, said.Kind+" "+said.Text)
		case "phase":
			gotPhases = append(gotPhases, string(m.Payload))
		case "celsius":
			gotReadings++
		}
	}
	if !slices.Equal(gotPrompts, prompts) || len(prompts) < 8 {
		t.Errorf("published %q, the cook heard %q", gotPrompts, prompts)
	}
	if !slices.Equal(gotPhases, phases) || len(phases) < 6 {
		t.Errorf("published phases %q, were %q", gotPhases, phases)
	}
	if gotReadings != readings {
		t.Errorf("%d readings published of %d", gotReadings, readings)
	}
}

// sameAsSent compares a state that has gone through the broker's format with
// the advice that it was made of.
func sameAsSent(t *testing.T, m mqtt.Seen, a plateau.Advice) {
	t.Helper()
	s, ok := readState(m.Payload)
	if !ok || m.Topic != "state" || !m.Retained {
		t.Fatalf("%s retained %v is no state: %s", m.Topic, m.Retained, m.Payload)
	}
	got := s.pot().Advice
	near := func(x, y time.Duration) bool { return (x - y).Abs() <= 100*time.Millisecond }
	f, g := a.Forecast, got.Forecast
	if got.Phase != a.Phase || got.HasNow != a.HasNow || math.Abs(float64(got.Now-a.Now)) > 0.01 || got.Doubt != a.Doubt ||
		got.Standing != a.Standing || got.Quiet != a.Quiet || got.Why != a.Why || g.Ok() != f.Ok() || g.Guess != f.Guess ||
		!near(f.ETA, g.ETA) || !near(f.Low, g.Low) || !near(f.High, g.High) {
		t.Errorf("sent %s of %+v, read %+v", m.Payload, a, got)
	}
}

// Anybody may write to a broker: nothing of it stops the watch or becomes a
// reading.
func TestPotBoard_strangers(t *testing.T) {
	now := time.Now()
	b := newPotBoard("kitchen")
	for _, m := range []mqtt.Seen{
		{Topic: "state", Payload: []byte(`{"phase":"melt"}`)},
		{Topic: "kitchen/pot1/state", Payload: []byte(`{"phase":"roast"}`)},
		{Topic: "kitchen/pot1/state", Payload: []byte(`[1,2]`)},
		{Topic: "kitchen/pot1/state", Payload: []byte(`{"phase":"melt","celsius":"hot"}`)},
		{Topic: "kitchen/pot1/celsius", Payload: []byte("112.4")},
		{Topic: "kitchen/pot1/status", Payload: []byte("online")},
	} {
		b.take(m, now)
	}
	if pots, _ := b.Pots(now); len(pots) != 0 {
		t.Errorf("pots %+v of strangers' words", pots)
	}
	b.take(mqtt.Seen{Topic: "kitchen/pot1/state", Payload: []byte(`{"name":"\u001b[2Jdip","phase":"stall","celsius":104,"silent_s":-1e300,"prompts":[{"kind":"juggle","text":"x"}],"forecast":{"eta_s":1e300}}`)}, now)
	pots, _ := b.Pots(now.Add(time.Minute))
	if len(pots) != 1 || pots[0].Heard != time.Minute || pots[0].Advice.Standing != 0 {
		t.Fatalf("pots %+v", pots)
	}
	if s := pots[0].Summary(probe.UnitF); slices.ContainsFunc([]rune(s+pots[0].Title()), sessions.Unsafe) {
		t.Errorf("unsafe words %q", s)
	}
	b.take(mqtt.Seen{Topic: "kitchen/pot1/status", Payload: []byte("offline")}, now)
	if pots, _ := b.Pots(now); !pots[0].Gone {
		t.Error("a pot whose will was published does not count as gone")
	}
	b.take(mqtt.Seen{Topic: "kitchen/pot1/state"}, now)
	if pots, _ := b.Pots(now); len(pots) != 0 {
		t.Error("a state that was taken off still stands")
	}
	for i := range 2 * potsMost {
		b.take(mqtt.Seen{Topic: "kitchen/" + clockTime(time.Duration(i)*time.Second) + "/state", Payload: []byte(`{"phase":"melt"}`)}, now)
	}
	if pots, _ := b.Pots(now); len(pots) != potsMost {
		t.Errorf("%d pots kept", len(pots))
	}
}
