package main

import (
	"flag"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"testing"

	"github.com/adrg/xdg"
	"github.com/rogpeppe/go-internal/testscript"
)

// buildDir is a folder for what tests build, made and removed by [tests.Run].
// The workers of a fuzzer have none: they are killed, and would leave it.
var buildDir string

func TestMain(m *testing.M) {
	testscript.Main(tests{m}, map[string]func(){"boildown": underTest})
}

// tests are this process when it is not a program that a test runs.
type tests struct{ *testing.M }

func (m tests) Run() int {
	if worker := flag.Lookup("test.fuzzworker"); worker == nil || !slices.Contains(os.Args, "-"+worker.Name) {
		dir, err := os.MkdirTemp("", "boildown-test-")
		if err != nil {
			panic(err)
		}
		defer os.RemoveAll(dir)
		buildDir = dir
	}
	// Nothing a test does may touch the batches of whoever runs it.
	os.Setenv("XDG_DATA_HOME", filepath.Join(buildDir, "data"))
	os.Setenv("XDG_CONFIG_HOME", filepath.Join(buildDir, "config"))
	xdg.Reload()
	if signal.Ignored(os.Interrupt) { // in the background of a script; the programs that tests start must not inherit it
		signal.Notify(make(chan os.Signal, 1), os.Interrupt)
	}
	return m.M.Run()
}

// TestScript runs the stories in testdata/script: one a promise of the README.
func TestScript(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("XDG_DATA_HOME", env.WorkDir+"/data")
			env.Setenv("XDG_CONFIG_HOME", env.WorkDir+"/config")
			behind := env.WorkDir + "/behind"
			env.Setenv(behindEnv, behind)
			env.Defer(func() {
				if left := leftIn(behind); left != "" {
					t.Errorf("%s: %s", env.WorkDir, left)
				}
			})
			return os.Mkdir(behind, 0o700)
		},
	})
}
