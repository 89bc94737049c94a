package probe_test

import (
	"fmt"
	"strings"

	"boildown/probe"
)

func Example() {
	var in probe.Framer
	var f probe.Format // finds the temperature alone
	in.Feed([]byte("T=112.4 C\r\nT=112.5 C\r\nset 120 C\r\nT=OPEN\r\n"), func(line string) {
		c, fault := f.Parse(line)
		fmt.Printf("%-9s  %5.1f  %q\n", line, float64(c), fault)
	})
	// Output:
	// T=112.4 C  112.4  ""
	// T=112.5 C  112.5  ""
	// set 120 C    0.0  "no temperature in the line"
	// T=OPEN       0.0  "open probe circuit"
}

func ExampleSniff() {
	g, ok := probe.Sniff(strings.Split("ms,room,pot\n250,24.1,112.3\n500,24.1,112.4\n750,24.1,112.4", "\n"))
	fmt.Println(ok, g.Format.Field, g.C)
	fmt.Println(g.Why)
	// Output:
	// true 3 112.4
	// the lines have several fields; the third, "pot", is a temperature by its name; no unit is printed, so °C is assumed
}

func ExampleTypeK() {
	c, _ := probe.TypeK(3.623, 25) // 3.623 mV over a cold junction at 25 °C
	fmt.Println(probe.UnitF.Temp(c, 0))
	// Output: 235 °F
}
