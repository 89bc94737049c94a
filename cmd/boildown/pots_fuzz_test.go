package main

import (
	"strings"
	"testing"
	"time"

	"boildown/probe"
	"boildown/probe/mqtt"
	"boildown/ui"
)

// FuzzPots: whatever strangers publish, what the watch shows of it fits the
// window and acts on no terminal.
func FuzzPots(f *testing.F) {
	f.Add("kitchen/left/state", []byte(`{"name":"Dip","phase":"stall","celsius":104.2,"linked":true,"forecast":{"eta_s":300,"low_s":200,"high_s":500,"by":"slope"}}`), true)
	f.Add("kitchen/\x1b[2J/state", []byte(`{"name":"\u001b[2J\u202e","phase":"melt","celsius":1e308,"target_c":-1e308,"silent_s":1e300,"note":"\u0007"}`), false)
	f.Add("kitchen/state", []byte(`{"phase":"dip","prompts":[{"kind":"pull","text":"\u009b31m"},{"kind":"","text":""}],"also":{"\u001b":1}}`), false)
	f.Add("kitchen/left/status", []byte("offline"), true)
	f.Fuzz(func(t *testing.T, topic string, payload []byte, retained bool) {
		now := time.Date(2026, 1, 2, 3, 4, 5, 0, time.UTC)
		board := newPotBoard("kitchen")
		board.take(mqtt.Seen{Topic: "kitchen/right/state", Payload: []byte(`{"phase":"climb","celsius":110}`)}, now)
		board.take(mqtt.Seen{Topic: topic, Payload: payload, Retained: retained}, now)
		lines := potLines{unit: probe.UnitF, said: map[string]string{}, due: map[string]time.Time{}}
		for _, line := range lines.next(board, now.Add(time.Second)) {
			if bad := raw(oneLine(line)); bad != "" {
				t.Errorf("a line holds %s", bad)
			}
		}
		screen := ui.NewPots(ui.Config{Unit: probe.UnitF, Theme: ui.Plain, Depth: ui.NoStyle}, board)
		screen, _ = screen.Update(screen.Init()())
		frame := ui.Frame(screen, 60, 20)
		if !strings.Contains(frame, "right") {
			t.Errorf("a stranger hides the pot beside it:\n%s", frame)
		}
		if bad := raw(frame); bad != "" {
			t.Errorf("the screen holds %s", bad)
		}
	})
}
