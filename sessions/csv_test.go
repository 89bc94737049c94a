package sessions

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

func readCSV(t *testing.T, text string) ([]Row, []plateau.Input, error) {
	t.Helper()
	var rows []Row
	var inputs []plateau.Input
	for row, err := range ReadCSV(strings.NewReader(text)) {
		if err != nil {
			return rows, inputs, err
		}
		inputs = append(inputs, row.Inputs...)
		row.Inputs = slices.Clone(row.Inputs)
		rows = append(rows, row)
	}
	return rows, inputs, nil
}

func TestReadCSVRows(t *testing.T) {
	sec := func(s float64) time.Duration { return fromSeconds(s) }
	measured := func(s float64, c probe.Celsius) plateau.Input {
		return plateau.Input{Kind: plateau.Measured, At: sec(s), C: c}
	}
	fault := func(s float64, c probe.Celsius, f probe.Fault) plateau.Input {
		return plateau.Input{Kind: plateau.Measured, At: sec(s), C: c, Fault: f}
	}
	silence := func(s float64) plateau.Input { return plateau.Input{Kind: plateau.Silent, At: sec(s)} }
	mark := func(s float64, m plateau.Mark, text string) plateau.Input {
		return plateau.Input{Kind: plateau.Marked, At: sec(s), Mark: m, Text: text}
	}
	for _, tt := range []struct {
		name, rows string
		want       []plateau.Input
	}{
		{"a reading", "1.5,101.25,", []plateau.Input{measured(1.5, 101.25)}},
		{"rounded as stored", "1.23456,99.99951,", []plateau.Input{measured(1.235, 100)}},
		{"the first may come late", "700,20,", []plateau.Input{measured(700, 20)}},
		{"mark before reading", "1,120,cream-start", []plateau.Input{mark(1, plateau.MarkCreamStart, ""), measured(1, 120)}},
		{"mark alone", "1,,heat-down", []plateau.Input{mark(1, plateau.MarkHeatDown, "")}},
		{"empty cell", "1,,", []plateau.Input{fault(1, 0, probe.FaultEmpty)}},
		{"no number", "1,hot,", []plateau.Input{fault(1, 0, probe.FaultGarbled)}},
		{"not finite", "1,NaN,", []plateau.Input{fault(1, 0, probe.FaultGarbled)}},
		{"five seconds are no gap", "1,20,\n6,20,", []plateau.Input{measured(1, 20), measured(6, 20)}},
		{"a gap is silence", "1,20,\n13,20,", []plateau.Input{measured(1, 20), silence(6), silence(11), measured(13, 20)}},
		{"time runs backwards", "5,20,\n4,21,\n6,22,", []plateau.Input{measured(5, 20), fault(5, 21, probe.FaultOutOfOrder), measured(6, 22)}},
		{"equal times", "5,20,\n5,21,", []plateau.Input{measured(5, 20), measured(5, 21)}},
		{"looks", "1,,look:colouring", []plateau.Input{mark(1, plateau.MarkLookColouring, "")}},
		{"something added", "1,,added:4 g salt: flaky", []plateau.Input{mark(1, plateau.MarkAdded, "4 g salt: flaky")}},
		{"a note", "1,,\"note:foams, badly\"", []plateau.Input{mark(1, plateau.MarkNote, "foams, badly")}},
		{"a target", "1,,target:235F", []plateau.Input{{Kind: plateau.Retargeted, At: sec(1), Target: 112.778}}},
		{"a target without unit is a note", "1,,target:235", []plateau.Input{mark(1, plateau.MarkNote, "target:235")}},
		{"heard", "1,,ack", []plateau.Input{{Kind: plateau.Acknowledged, At: sec(1)}}},
		{"undone", "1,,undo", []plateau.Input{{Kind: plateau.Undone, At: sec(1)}}},
		{"unknown mark", "1,,pears in", []plateau.Input{mark(1, plateau.MarkNote, "pears in")}},
		{"told late", "200,,-120s cream-end", []plateau.Input{{Kind: plateau.Marked, At: sec(200), Mark: plateau.MarkCreamEnd, Ago: 2 * time.Minute}}},
		{"a doubt from the fault column", "1,85,,power-on value", []plateau.Input{fault(1, 85, probe.FaultPowerOn)}},
		{"control characters", "1,,note:\x1b[31mred", []plateau.Input{mark(1, plateau.MarkNote, "[31mred")}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, got, err := readCSV(t, CSVHeader+"\n"+tt.rows+"\n")
			if err != nil || !slices.Equal(got, tt.want) {
				t.Errorf("got  %+v, %v\nwant %+v", got, err, tt.want)
			}
		})
	}
}

func TestReadCSVKeepsTheTimeAsWritten(t *testing.T) {
	rows, _, err := readCSV(t, CSVHeader+"\n5,20,\n4,21,\n")
	if err != nil || len(rows) != 2 || rows[1].At != 4*time.Second || rows[1].Fault != probe.FaultOutOfOrder || !rows[1].HasC {
		t.Errorf("rows %+v, %v", rows, err)
	}
}

func TestReadCSVErrors(t *testing.T) {
	for _, tt := range []struct{ name, file, say string }{
		{"empty", "", "it is empty"},
		{"another header", "time,temp\n", `its first line is "time,temp"`},
		{"no seconds", CSVHeader + "\nsoon,20,\n", `line 2: "soon" is not a number of seconds`},
		{"wild seconds", CSVHeader + "\n1e300,20,\n", "is not a number of seconds"},
		{"too few fields", CSVHeader + "\n1,20\n", "line 2 has 2 fields instead of 3"},
		{"bare quote", CSVHeader + "\n1,20,a\"b\n", "line 2:"},
		{"endless line", CSVHeader + "\n" + strings.Repeat("1", 2<<20), "longer than"},
	} {
		_, _, err := readCSV(t, tt.file)
		if err == nil || !strings.Contains(err.Error(), tt.say) {
			t.Errorf("%s: got %v, want %q", tt.name, err, tt.say)
		}
	}
	if _, _, err := readCSV(t, "a,b\n"); !errors.Is(err, ErrNotCSV) {
		t.Errorf("another header: %v is not ErrNotCSV", err)
	}
}

// There and back without loss of a reading or a mark.
func TestCSVRoundTrip(t *testing.T) {
	file, inputs := smallFile(t)
	s, err := Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := WriteCSV(&text, s); err != nil {
		t.Fatal(err)
	}
	_, got, err := readCSV(t, text.String())
	if err != nil {
		t.Fatal(err)
	}
	noSilence := func(in plateau.Input) bool { return in.Kind == plateau.Silent }
	got = slices.DeleteFunc(got, noSilence)
	want := slices.DeleteFunc(slices.Clone(inputs), noSilence)
	if !slices.Equal(got, want) {
		t.Errorf("%s\ngot  %+v\nwant %+v", text.String(), got, want)
	}
}

func FuzzReadCSV(f *testing.F) {
	f.Add(CSVHeader + "\n1,20,\n9,21,melt-start\n8,,undo\n")
	f.Add("seconds,celsius,mark,fault\n1,85,,power-on value\n")
	f.Add(CSVHeader + "\n0,,-3s added:salt\n2591999,1e9,\"a\nb\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		last := time.Duration(0)
		for row, err := range ReadCSV(strings.NewReader(text)) {
			if err != nil {
				if clean(err.Error(), 1<<20) != err.Error() {
					t.Errorf("error that must not be shown raw: %q", err)
				}
				return
			}
			for _, in := range row.Inputs {
				if Rounded(in) != in || in.At < last {
					t.Errorf("input %+v after %v", in, last)
				}
				last = in.At
			}
		}
	})
}

func ExampleReadCSV() {
	const batch = "seconds,celsius,mark\n0,20.1,melt-start\n7.5,22.4,\n"
	for row, err := range ReadCSV(strings.NewReader(batch)) {
		fmt.Println(row.Line, row.At, row.C, len(row.Inputs), err)
	}
	// Output:
	// 2 0s 20.1 2 <nil>
	// 3 7.5s 22.4 2 <nil>
}
