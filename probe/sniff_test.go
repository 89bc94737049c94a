package probe

import (
	"strings"
	"testing"
)

func TestSniff(t *testing.T) {
	for _, row := range []struct {
		name  string
		lines string // separated by /
		want  Format
		c     Celsius
		sure  bool
		why   string
	}{
		{"bare", "112.3/112.4/112.5", Format{}, 112.5, false, "no unit is printed, so °C is assumed"},
		{"bare like a kitchen in F", "72.1/72.1/72.2", Format{}, 72.2, false, "if the probe is in a kitchen at 72 °F"},
		{"label and unit", "hello/T=112.3 C/T=112.4 C", Format{}, 112.4, true, "2 of 3 lines plainly hold"},
		{"all lines", "T=234.5 F/T=234.5 F", Format{}, Fahrenheit(234.5), true, "each line plainly holds"},
		{"counter first", "1 112.3/2 112.3/3 112.4/4 112.4", Format{Field: 2, Sep: " "}, 112.4, false, "the second"},
		{"CSV with a header", "time,room,pot_c/1,24.1,112.3/2,24.1,112.4/3,24.2,112.5", Format{Field: 3, Sep: ","}, 112.5, false, `"pot_c"`},
		{"two labels in a line", "T1=24.1 T2=112.4/T1=24.1 T2=112.5", Format{Key: "T2"}, 112.5, false, "hottest"},
		{"two sensors in turn", "Sensor 1: 24.1 C/Sensor 2: 112.4 C/Sensor 1: 24.2 C/Sensor 2: 112.5 C", Format{Key: "Sensor 2"}, 112.5, false, `"Sensor 2"`},
		{"unknown label", "Pot sensor A: 112.4 C fine/Pot sensor A: 112.5 C fine", Format{Key: "Pot sensor A"}, 112.5, false, "by its name"},
		{"JSON", `{"n":1,"temp":112.4}/{"n":2,"temp":112.5}`, Format{}, 112.5, false, "each line plainly"},
		{"JSON with two", `{"room":{"t":24.1},"pot":{"t":112.4}}/{"room":{"t":24.1},"pot":{"t":112.5}}`, Format{Key: "pot.t"}, 112.5, false, `"pot.t"`},
		{"JSON without names", `{"a":{"v":24.1},"b":{"v":112.4}}/{"a":{"v":24.1},"b":{"v":112.5}}`, Format{Key: "b.v"}, 112.5, false, `"b.v"`},
		{"decimal comma", "112,4/112,3/112,4", Format{Comma: true}, 112.4, false, "decimal comma"},
		{"semicolons", "21,5;112,4/21,5;112,5", Format{Field: 2, Sep: ";"}, 112.5, false, "the second"},
		{"fault at the moment", "T=112.4 C/open/open", Format{}, 112.4, true, "1 of 3"},
	} {
		t.Run(row.name, func(t *testing.T) {
			g, ok := Sniff(strings.Split(row.lines, "/"))
			if !ok {
				t.Fatalf("nothing found: %s", g.Why)
			}
			if g.Format != row.want {
				t.Errorf("format %+v, want %+v (%s)", g.Format, row.want, g.Why)
			}
			if d := g.C - row.c; d > 1e-9 || d < -1e-9 {
				t.Errorf("reads %v, want %v", g.C, row.c)
			}
			if g.Sure != row.sure {
				t.Errorf("sure %v, want %v", g.Sure, row.sure)
			}
			if !strings.Contains(g.Why, row.why) {
				t.Errorf("why %q lacks %q", g.Why, row.why)
			}
			if g.Read == 0 || g.Example == "" {
				t.Errorf("nothing read in it: %+v", g)
			}
		})
	}
}

func TestSniff_nothing(t *testing.T) {
	for _, row := range []struct {
		name  string
		lines []string
		why   string
	}{
		{"no lines", nil, "no whole line"},
		{"blank lines", []string{"", "\r"}, "no whole line"},
		{"noise", []string{"\x80\x93\xff", "\xfe\x01", "x"}, "the speed is probably wrong"},
		{"text", []string{"hello", "ready"}, "no number"},
		{"versions", []string{"v2.1.0", "id 4711"}, "none that could be a pot's"},
	} {
		t.Run(row.name, func(t *testing.T) {
			g, ok := Sniff(row.lines)
			if ok || !strings.Contains(g.Why, row.why) {
				t.Errorf("%+v, %v; want nothing because %q", g, ok, row.why)
			}
		})
	}
}
