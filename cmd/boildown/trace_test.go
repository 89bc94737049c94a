package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// rows decodes trace's output.
func rows(t *testing.T, out string) (rows []row) {
	t.Helper()
	dec := json.NewDecoder(strings.NewReader(out))
	dec.DisallowUnknownFields()
	for dec.More() {
		var r row
		if err := dec.Decode(&r); err != nil {
			t.Fatal(err)
		}
		rows = append(rows, r)
	}
	return rows
}

// tracing runs trace on standard input.
func tracing(t *testing.T, in string, flags ...string) (out, errOut string, status int) {
	t.Helper()
	var o, e bytes.Buffer
	status = run(t.Context(), append(append([]string{"trace"}, flags...), "-"), strings.NewReader(in), &o, &e)
	return o.String(), e.String(), status
}

// boilingCSV is an invented pot that boils and climbs: its water ratio, some 48/K
// of its height over 100 °C, falls along a straight line.
func boilingCSV(seconds int) string {
	var b strings.Builder
	b.WriteString("seconds,celsius,mark\n")
	for s := range seconds {
		mark := ""
		if s == 0 {
			mark = "cream-end"
		}
		fmt.Fprintf(&b, "%d,%.2f,%s\n", s, 100+48/(12-0.0112*float64(s))+0.02*math.Sin(float64(s)), mark)
	}
	return b.String()
}

// The keys and their order are promised to scripts.
func TestTraceKeys(t *testing.T) {
	out, _, status := tracing(t, boilingCSV(400))
	if status != 0 {
		t.Fatalf("status %d", status)
	}
	number := `-?\d+(\.\d+)?`
	want := regexp.MustCompile(`^\{"seconds":` + number + `,"celsius":(` + number + `|null),"fault":"[^"]*","phase":"(wait|melt|cream|stall|climb|pulled|dip|done)",` +
		`"stalled":(true|false),"slope_c_per_min":` + number + `,"forecast":(null|\{"eta_s":` + number + `,"low_s":` + number + `,"high_s":` + number + `,"by":"(stall-line|slope)"\}),` +
		`"forecast_why":"(no-boil|too-early|not-on-its-way|heat-changed|doubtful)?","water_fraction":(null|` + number + `),"prompts":\[.*\]\}$`)
	forecasts := 0
	for _, line := range strings.Split(strings.TrimSpace(out), "\n") {
		if !want.MatchString(line) {
			t.Fatalf("this row is not as promised: %s", line)
		}
		if strings.Contains(line, `"eta_s"`) {
			forecasts++
		}
	}
	if forecasts == 0 {
		t.Error("no row holds a forecast: the check proves nothing about it")
	}
	for _, r := range rows(t, out) {
		if f := r.Forecast; f != nil && !(0 <= f.Low && f.Low <= f.ETA && f.ETA <= f.High) {
			t.Errorf("at %v s the forecast is %+v", r.Seconds, *f)
		}
	}
}

func TestTraceCSV(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"one row a line, the last without a line end", "seconds,celsius,mark\n0,20,\n1,21,", "0 20 ''|1 21 ''"},
		{"CR LF and a byte order mark", "\ufeffseconds,celsius,mark\r\n0,20,\r\n", "0 20 ''"},
		{"a quoted note with a comma, a quote and a line break", "seconds,celsius,mark\n0,20,\"note:a, \"\"b\"\"\nc\"\n", "0 20 ''"},
		{"an empty reading is a fault", "seconds,celsius,mark\n0,20,\n1,,\n", "0 20 ''|1 null 'no temperature in the line'"},
		{"an unreadable reading is a fault", "seconds,celsius,mark\n0,abc,\n1,NaN,\n2,+Inf,\n", "0 null 'garbled line'|1 null 'garbled line'|2 null 'garbled line'"},
		{"time that runs backwards is a fault, not an error", "seconds,celsius,mark\n10,20,\n9,21,\n11,20,\n", "10 20 ''|9 21 'out of order'|11 20 ''"},
		{"equal times are read", "seconds,celsius,mark\n0,20,\n0,20.1,\n", "0 20 ''|0 20.1 ''"},
		{"milliseconds and thousandths", "seconds,celsius,mark\n0.12345,20.98765,\n", "0.123 20.988 ''"},
		{"an unknown mark is kept", "seconds,celsius,mark\n0,20,wobble\n", "0 20 ''"},
		{"a silence prints no row", "seconds,celsius,mark\n0,20,\n60,20,\n", "0 20 ''|60 20 ''"},
		{"no line at all", "seconds,celsius,mark\n", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, errOut, status := tracing(t, c.in)
			if status != 0 {
				t.Fatalf("status %d: %s", status, errOut)
			}
			var got []string
			for _, r := range rows(t, out) {
				celsius := "null"
				if r.Celsius != nil {
					celsius = fmt.Sprint(*r.Celsius)
				}
				got = append(got, fmt.Sprintf("%v %s '%s'", r.Seconds, celsius, r.Fault))
			}
			if s := strings.Join(got, "|"); s != c.want {
				t.Errorf("got  %s\nwant %s", s, c.want)
			}
		})
	}
}

// What is not one of our files is refused with status 2 and one clear line.
func TestTraceRefuses(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct{ name, content, want string }{
		{"nothing", "", "it is empty"},
		{"blank", " \n\t\n", "it is empty"},
		{"another header", "time,temp\n0,20\n", "its first line is"},
		{"other columns", "seconds,celsius,mark,weight\n0,20,,4\n", "its first line is"},
		{"no header", "0,20,\n", "its first line is"},
		{"seconds", "seconds,celsius,mark\nsoon,20,\n", "line 2"},
		{"endless seconds", "seconds,celsius,mark\n1e300,20,\n", "line 2"},
		{"not a number", "seconds,celsius,mark\nNaN,20,\n", "line 2"},
		{"too few fields", "seconds,celsius,mark\n0,20\n", "line 2"},
		{"open quote", "seconds,celsius,mark\n0,20,\"x\n", "line"},
		{"foreign JSON", `{"a":1}` + "\n", "not a boildown session file"},
		{"newer session", sealed(`{"k":"head","format":"boildown session","v":99`), "newer than format 1"},
		{"binary", "\x7fELF\x00\x01\xff\xfe", "its first line is"},
		{"escape sequence", "\x1b]0;owned\a\x1b[2Jseconds\n", "its first line is"},
		{"endless line", strings.Repeat("9", 2<<20), "a line is longer than"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(dir, strings.ReplaceAll(c.name, " ", "-"))
			if err := os.WriteFile(path, []byte(c.content), 0o600); err != nil {
				t.Fatal(err)
			}
			var out, errOut bytes.Buffer
			status := run(t.Context(), []string{"trace", path}, strings.NewReader(""), &out, &errOut)
			if status != statusUsage || out.Len() > 0 {
				t.Errorf("status %d, output %q", status, out.String())
			}
			msg := errOut.String()
			if strings.Count(msg, "\n") != 1 || !strings.HasPrefix(msg, "boildown: ") || !strings.Contains(msg, c.want) {
				t.Errorf("it says %q, want one line with %q", msg, c.want)
			}
			if strings.ContainsAny(strings.TrimSuffix(msg, "\n"), "\x1b\a\x00\n") {
				t.Errorf("control characters reach the terminal: %q", msg)
			}
		})
	}
	for _, path := range []string{filepath.Join(dir, "missing"), dir} {
		var out, errOut bytes.Buffer
		if status := run(t.Context(), []string{"trace", path}, nil, &out, &errOut); status != statusUsage || strings.Count(errOut.String(), "\n") != 1 {
			t.Errorf("%s: status %d, %q", path, status, errOut.String())
		}
	}
}

// sealed ends a session's line with its checksum, as DEVELOPERS.md describes.
func sealed(open string) string {
	return fmt.Sprintf(`%s,"crc":"%08x"}`+"\n", open, crc32.Checksum([]byte(open), crc32.MakeTable(crc32.Castagnoli)))
}

// --target is what this probe reads; only --sea-level shifts it.
func TestTraceTarget(t *testing.T) {
	pull := func(flags ...string) string {
		t.Helper()
		var b strings.Builder
		b.WriteString(boilingCSV(1))
		for s := 1; s < 1400; s++ {
			fmt.Fprintf(&b, "%d,%.2f,\n", s, 103+0.008*float64(s)+0.02*math.Sin(float64(s)))
		}
		out, errOut, status := tracing(t, b.String(), flags...)
		if status != 0 {
			t.Fatalf("%v: %s", flags, errOut)
		}
		for _, r := range rows(t, out) {
			for _, p := range r.Prompting {
				if p.Kind == "pull" {
					return fmt.Sprintf("%.0f", *r.Celsius)
				}
			}
		}
		return "never"
	}
	// 1600 m: 83.5 kPa (ISO 2533), where water boils 5.3 °C lower.
	for _, c := range []struct {
		flags []string
		want  string
	}{
		{[]string{"--target", "111C"}, "111"},
		{[]string{"--target", "111C", "--altitude", "1600m"}, "111"},
		{[]string{"--target", "111C", "--water-boils", "94.7C"}, "111"},
		{[]string{"--target", "113C", "--altitude", "1600m", "--sea-level"}, "107"},
	} {
		if got := pull(c.flags...); got != c.want {
			t.Errorf("%v: pulled at %s °C, want %s", c.flags, got, c.want)
		}
	}
	if _, errOut, status := tracing(t, boilingCSV(1), "--sea-level"); status != statusUsage || !strings.Contains(errOut, "hint: ") {
		t.Errorf("--sea-level without a pressure: status %d, %q", status, errOut)
	}
}

// A prompt of a mark or a silence that no reading follows gets a closing row.
func TestTraceSilenceNearTargetIsSaid(t *testing.T) {
	in := boilingCSV(700) + "760,111.5,\n"
	out, _, _ := tracing(t, in, "--target", "112C")
	all := rows(t, out)
	last := all[len(all)-1]
	if last.Seconds != 760 || len(last.Prompting) == 0 {
		t.Errorf("after a minute of silence near the target the row is %+v; want its alarm", last)
	}
}

// Whatever it is given, trace answers with rows or with one line, and no
// number in a row is beyond JSON.
func FuzzTrace(f *testing.F) {
	f.Add("seconds,celsius,mark\n0,20,melt-start\n1,,\n2,21,target:235F\n")
	f.Add("seconds,celsius,mark\n0,1e308,\n1,-1e308,ack\n1e6,5,undo\n")
	f.Add(sealed(`{"k":"head","format":"boildown session","v":1,"unit":"F","config":{"target_c":112.8}`) + sealed(`{"k":"reading","t":1.000,"c":104.0`))
	f.Fuzz(func(t *testing.T, in string) {
		out, errOut, status := tracing(t, in)
		if status != 0 && (status != statusUsage || strings.Count(errOut, "\n") != 1) {
			t.Errorf("status %d, %q", status, errOut)
		}
		for _, r := range rows(t, out) {
			if f := r.Forecast; f != nil && !(0 <= f.Low && f.Low <= f.ETA && f.ETA <= f.High) {
				t.Errorf("forecast %+v", *f)
			}
		}
	})
}
