package main

import (
	"math"
	"testing"

	"github.com/spf13/pflag"

	"boildown/probe"
)

// Raw figures of a board become temperatures by the flags alone. 4.096 mV of
// type K is 100 °C over an ice junction (ITS-90), 138.51 Ω of a Pt100 too (IEC
// 60751), and 1.000 mV is the junction at 25 °C (ITS-90).
func TestSourceFormat(t *testing.T) {
	for _, row := range []struct {
		args []string
		line string
		want float64
	}{
		{nil, "112.5", 112.5},
		{[]string{"--probe-unit", "F"}, "212", 100},
		{[]string{"--sensor", "pt100"}, "138.51", 100},
		{[]string{"--sensor", "type-k", "--cold-junction", "0C"}, "4.096", 100},
		{[]string{"--sensor", "type-k"}, "3.096", 100}, // 4.096 less the 1.000 of 25 °C
	} {
		var f sourceFlags
		set := pflag.NewFlagSet("", pflag.ContinueOnError)
		f.register(set)
		if err := set.Parse(row.args); err != nil {
			t.Fatal(err)
		}
		got, fault := f.format().Parse(row.line)
		if fault != probe.FaultNone || math.Abs(float64(got)-row.want) > 0.05 {
			t.Errorf("%v: %q is %.3f, %v; want %.1f", row.args, row.line, float64(got), fault, row.want)
		}
	}
}
