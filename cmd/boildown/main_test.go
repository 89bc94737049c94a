package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// buildDir is a folder for what tests build; TestMain makes and removes it.
var buildDir string

func TestMain(m *testing.M) {
	// Nothing a test does may touch the batches of whoever runs it.
	dir, err := os.MkdirTemp("", "boildown-test-")
	if err != nil {
		panic(err)
	}
	os.Setenv("XDG_DATA_HOME", filepath.Join(dir, "data"))
	os.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "config"))
	buildDir = dir
	testscript.Main(cleaningUp{m, dir}, map[string]func(){"boildown": main})
}

// cleaningUp removes the tests' folder behind them.
type cleaningUp struct {
	*testing.M
	dir string
}

func (c cleaningUp) Run() int {
	defer os.RemoveAll(c.dir)
	return c.M.Run()
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
			return nil
		},
	})
}
