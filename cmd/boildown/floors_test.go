package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// floors is the plan of the house: what each folder may import of ours. A
// folder that is not here does not exist.
var floors = map[string][]string{
	"syrup":           {},
	"probe":           {},
	"probe/probetest": {"probe"}, // tests only
	"probe/poll":      {"probe"},
	"probe/port":      {"probe"},
	"probe/sysfs":     {"probe", "probe/poll"},
	"probe/scpi":      {"probe", "probe/poll"},
	"probe/modbus":    {"probe", "probe/poll"},
	"probe/hidraw":    {"probe", "probe/poll"},
	"probe/mqtt":      {"probe", "probe/poll"},
	"probe/pot":       {"probe", "syrup"},
	"plateau":         {"probe", "syrup"},
	"sessions":        {"plateau", "probe", "syrup"},
	"ui":              {"plateau", "probe", "syrup", "sessions"},
	"ui/early":        {},
	"cmd/boildown":    {"plateau", "probe", "probe/port", "probe/pot", "probe/sysfs", "probe/scpi", "probe/modbus", "probe/hidraw", "probe/mqtt", "sessions", "syrup", "ui", "ui/early"},
	"cmd/accuracy":    {"plateau", "probe", "probe/pot", "syrup"},
}

// pure are the floors that touch no clock, no file and no network, so that a
// replay, a test and a live cook cannot differ.
var pure = []string{"syrup", "probe", "plateau"}

// banned is what a pure floor does not import.
var banned = []string{"os", "net", "log", "math/rand", "syscall"}

// clocks are the functions of package time that read or wait for a clock.
var clocks = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"}

const module = "boildown/"

func TestFloors(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := map[string]bool{}
	for path, file := range goFiles(t, root) {
		room := filepath.ToSlash(filepath.Dir(path))
		if _, ok := floors[room]; !ok {
			t.Errorf("%s: folder %s is not on the plan", path, room)
			continue
		}
		seen[room] = true
		for _, fault := range faultsOf(room, file) {
			t.Errorf("%s: %s", path, fault)
		}
	}
	for _, room := range []string{"syrup", "probe", "plateau", "sessions", "ui", "cmd/boildown"} {
		if !seen[room] {
			t.Errorf("folder %s holds no code: is this test looking in the right place?", room)
		}
	}
}

// faultsOf says what in a file of a room breaks the plan.
func faultsOf(room string, file *ast.File) (faults []string) {
	isPure := slices.Contains(pure, room)
	for _, spec := range file.Imports {
		name, _ := strconv.Unquote(spec.Path.Value)
		ours, isOurs := strings.CutPrefix(name, module)
		switch {
		case isOurs && !slices.Contains(floors[room], ours):
			faults = append(faults, room+" may not import "+ours)
		case isPure && !isOurs && strings.Contains(strings.Split(name, "/")[0], "."):
			faults = append(faults, "a pure floor imports the third-party "+name)
		case isPure && isBanned(name):
			faults = append(faults, "a pure floor imports "+name)
		case strings.HasPrefix(name, "github.com/charmbracelet/bubbletea") && room != "ui":
			faults = append(faults, "only ui speaks to the terminal library")
		}
	}
	if isPure {
		faults = append(faults, clockFaults(file)...)
	}
	return faults
}

// clockFaults finds the calls by which a file reads or waits for a clock.
func clockFaults(file *ast.File) (faults []string) {
	ast.Inspect(file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if pkg, ok := sel.X.(*ast.Ident); ok && pkg.Name == "time" && slices.Contains(clocks, sel.Sel.Name) {
			faults = append(faults, "a pure floor reads the clock: time."+sel.Sel.Name)
		}
		return true
	})
	return faults
}

func isBanned(name string) bool {
	for _, b := range banned {
		if name == b || strings.HasPrefix(name, b+"/") {
			return true
		}
	}
	return false
}

// goFiles parses every Go file below root that is not a test.
func goFiles(t *testing.T, root string) map[string]*ast.File {
	t.Helper()
	files := map[string]*ast.File{}
	err := fs.WalkDir(os.DirFS(root), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || path != "." && strings.HasPrefix(d.Name(), ".")) {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		src, err := os.ReadFile(filepath.Join(root, path))
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, src, 0)
		files[path] = file
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// TestFloorsNotice proves that the check can fail.
func TestFloorsNotice(t *testing.T) {
	for _, c := range []struct{ name, room, src string }{
		{"clock", "plateau", `package plateau; import "time"; var now = time.Now()`},
		{"file", "syrup", `package syrup; import _ "os"`},
		{"network", "probe", `package probe; import _ "net/http"`},
		{"upward", "probe", `package probe; import _ "boildown/plateau"`},
		{"sideways", "probe/pot", `package pot; import _ "boildown/plateau"`},
		{"third party", "plateau", `package plateau; import _ "golang.org/x/sys/unix"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := parser.ParseFile(token.NewFileSet(), "x.go", c.src, 0)
			if err != nil {
				t.Fatal(err)
			}
			if len(faultsOf(c.room, file)) == 0 {
				t.Errorf("%s passed in %s", c.src, c.room)
			}
		})
	}
}
