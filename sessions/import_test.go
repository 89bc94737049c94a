package sessions

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// table writes five rows 2 s apart, 21.5 to 121.5 °C, in a shape of its own.
func table(header string, row func(i int, s float64, c probe.Celsius) string) string {
	var b strings.Builder
	b.WriteString(header)
	for i := range 5 {
		b.WriteString(row(i, float64(2*i), probe.Celsius(21.5+25*float64(i))) + "\n")
	}
	return b.String()
}

func TestImportGuessesColumnsAndUnits(t *testing.T) {
	start := time.Date(2026, 10, 3, 7, 45, 12, 0, time.UTC)
	for _, tt := range []struct{ name, file string }{
		{"no header", table("", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%g,%g", s, c) })},
		{"our own", table(CSVHeader+"\n", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%g,%g,", s, c) })},
		{"named, temperature first", table("Temperature (°C),Time (s)\n", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%g,%g", c, s) })},
		{"Fahrenheit by name", table("time,temp_f\n", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%g,%.2f", s, c.F()) })},
		{"Fahrenheit by letter", table("", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%g\t%.2f °F", s, c.F()) })},
		{"Fahrenheit by heat", table("a,b\n", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%g,%.2f", s, c.F()) })},
		{"semicolons and decimal commas", table("Zeit;Temperatur\n", func(_ int, s float64, c probe.Celsius) string {
			return strings.ReplaceAll(fmt.Sprintf("%.1f;%.1f", s, c), ".", ",")
		})},
		{"milliseconds by name", table("ms,degC\n", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%.0f,%g", 1e3*s+500, c) })},
		{"milliseconds by step", table("", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%.0f,%g", 1e3*s+7e6, c) })},
		{"minutes", table("minutes,C\n", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%.6f,%g", s/60, c) })},
		{"clock past midnight", table("clock|probe\n", func(_ int, s float64, c probe.Celsius) string {
			return time.Date(2026, 1, 1, 23, 59, 57, 0, time.UTC).Add(time.Duration(s)*time.Second).Format("15:04:05") + fmt.Sprintf("|%g", c)
		})},
		{"dates", table("# a logger of our own\nserial 7\n\ntimestamp,humidity,temperature\n", func(_ int, s float64, c probe.Celsius) string {
			return start.Add(time.Duration(s)*time.Second).Format("2006-01-02 15:04:05") + fmt.Sprintf(",55,%g", c)
		})},
		{"epoch", table("t,c\n", func(_ int, s float64, c probe.Celsius) string {
			return fmt.Sprintf("%d,%g", start.Unix()+int64(s), c)
		})},
		{"CR LF", table("s,c\r\n", func(_ int, s float64, c probe.Celsius) string { return fmt.Sprintf("%g,%g\r", s, c) })},
		{"a counter beside", table("n;sec;temp\n", func(i int, s float64, c probe.Celsius) string { return fmt.Sprintf("%d;%g;%g", i, s, c) })},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s, cols, err := Import(strings.NewReader(tt.file), Columns{})
			if err != nil {
				t.Fatalf("%v\n%s\n%s", err, cols, tt.file)
			}
			i := 0
			for in := range s.Inputs() {
				c := 21.5 + 25*float64(i)
				if in.Kind != plateau.Measured || in.Fault != 0 || in.At != time.Duration(2*i)*time.Second || math.Abs(float64(in.C)-c) > 0.006 {
					t.Errorf("row %d: %+v, want %g °C at %d s\n%s", i, in, c, 2*i, cols)
				}
				i++
			}
			if i != 5 || len(cols.Why) < 3 {
				t.Errorf("%d rows, reasons:\n%s", i, cols)
			}
		})
	}
}

func TestImportTakesWhatIsSaid(t *testing.T) {
	const file = "0,20,100\n1,21,110\n2,22,120\n"
	s, _, err := Import(strings.NewReader(file), Columns{Time: 1, Temp: 3, TimeUnit: "min", Unit: probe.UnitF, HasUnit: true})
	if err != nil {
		t.Fatal(err)
	}
	in := slices.DeleteFunc(slices.Collect(s.Inputs()), func(in plateau.Input) bool { return in.Kind == plateau.Silent })
	if len(in) != 3 || in[2].At != 2*time.Minute || in[2].C != probe.Fahrenheit(120).Rounded() {
		t.Errorf("%+v", in)
	}
}

func TestImportRefusesWhatIsNoTable(t *testing.T) {
	for _, file := range []string{"", "hello\n", "a,b\nc,d\n", "1\n2\n3\n", "\x00\xff\x00"} {
		if s, cols, err := Import(strings.NewReader(file), Columns{}); err == nil {
			t.Errorf("%q was read as %d records: %s", file, len(s.Records), cols)
		}
	}
}

func TestImportedSessionIsSaved(t *testing.T) {
	file := table("time,temp_f,mark\n", func(i int, s float64, c probe.Celsius) string {
		return fmt.Sprintf("%g,%.2f,%s", s, c.F(), map[int]string{3: "pull"}[i])
	})
	s, _, err := Import(strings.NewReader(file), Columns{})
	if err != nil {
		t.Fatal(err)
	}
	s.Header.Config.Target = 113
	path, err := Save(t.TempDir(), s)
	if err != nil {
		t.Fatal(err)
	}
	got := mustRead(t, path)
	checkInputs(t, got, slices.Collect(s.Inputs()))
	if got.Header.Config.Target != 113 || !got.Closed || got.Header.Start.IsZero() {
		t.Errorf("%+v %+v", got.Header, got.Summary)
	}
}

func FuzzImport(f *testing.F) {
	f.Add([]byte("time,temp\n0,20\n1,21\n"))
	f.Add([]byte("23:59:59|100\n0:00:01|101\n"))
	f.Add([]byte("2026-10-03 07:00:00;100,5\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		s, cols, err := Import(strings.NewReader(string(file)), Columns{})
		if clean(strings.ReplaceAll(cols.String(), "\n", " "), 1<<20) != strings.ReplaceAll(cols.String(), "\n", " ") {
			t.Errorf("reasons that must not be shown raw: %q", cols)
		}
		if err != nil {
			return
		}
		for in := range s.Inputs() {
			if Rounded(in) != in {
				t.Errorf("an input that no file can hold: %+v", in)
			}
		}
	})
}

func TestSessionFromItsOwnCSV(t *testing.T) {
	file, inputs := smallFile(t)
	s, err := Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := WriteCSV(&text, s); err != nil {
		t.Fatal(err)
	}
	back, err := FromCSV(&text)
	if err != nil {
		t.Fatal(err)
	}
	quiet := func(in plateau.Input) bool { return in.Kind == plateau.Silent }
	got := slices.DeleteFunc(slices.Collect(back.Inputs()), quiet)
	if want := slices.DeleteFunc(inputs, quiet); !slices.Equal(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
}

func TestAdoptCopiesByteForByte(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	const from = batches + "damaged.jsonl"
	first, err := Adopt(dir, from)
	if err != nil {
		t.Fatal(err)
	}
	second, err := Adopt(dir, from)
	if err != nil || second == first {
		t.Fatalf("second copy in %q, %v", second, err)
	}
	want, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{first, second} {
		if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s differs (%v)", path, err)
		}
	}
	if _, err := Adopt(dir, "import.go"); err == nil {
		t.Error("adopted a file that is no session")
	}
}
