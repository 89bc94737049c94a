package main

import (
	"runtime"
	"strings"
	"testing"
)

// A file of a few kilobytes takes no more than a few megabytes to read,
// however it is nested.
func TestTOMLIsBounded(t *testing.T) {
	const n = 5000
	for name, text := range map[string]string{
		"parts of a key":         strings.Repeat("a.", n) + "a = 1\n",
		"parts of a table":       "[" + strings.Repeat("a.", n) + "a]\nx = 1\n",
		"quoted parts":           strings.Repeat(`"a" . `, n) + "a = 1\n",
		"arrays":                 "a = " + strings.Repeat("[", n) + strings.Repeat("]", n) + "\n",
		"tables in a line":       "a = " + strings.Repeat("{a = ", n) + "1" + strings.Repeat("}", n) + "\n",
		"a long name of a table": "[" + strings.Repeat("a", 10*n) + "]\n" + strings.Repeat("b = 1\n", 3),
		"behind a string":        "s = \"\"\"\n[[[\"\"\"\n#'\nq = 'x'\nr = \"\\\"\"\na = " + strings.Repeat("[", n),
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, wrong := parseSettings(text, "x")
			_, problem := parseRecipe(text, "x")
			runtime.ReadMemStats(&after)
			if wrong == nil || problem == nil {
				t.Error("it is taken")
			}
			if grew := after.TotalAlloc - before.TotalAlloc; grew > 16<<20 {
				t.Errorf("reading %d KB takes %d MB", len(text)>>10, grew>>20)
			}
		})
	}
}

func TestExcessIn(t *testing.T) {
	deep := strings.Repeat("[", maxTOMLDepth+1)
	for text, want := range map[string]int{
		"":                                 0,
		"a = 1 # " + deep:                  0,
		"a = \"" + deep + "\"\n":           0,
		"a = 'x\n" + deep:                  2,
		"a = \"\"\"\n\n" + deep + "\"\"\"": 0,
		"a = '''\n'''\nb = " + deep:        3,
		"a = \"\\\"" + deep + "\"\nb=" + strings.Repeat("1.", 30): 2,
		"a = [[1, 2], [3.5, 4.5], [5.5, 6.5]]":                    0,
		strings.Repeat("a = [1.5, {b.c = 2}]\n[x.y.z]\n", 50):     0,
		"a = \"" + strings.Repeat("long ", 500) + "\"":            0,
	} {
		if got := excessIn(text); got != want {
			t.Errorf("%.60q: line %d, want %d", text, got, want)
		}
	}
}
