package main

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scripts run this program as a command of its own, with its own exit status.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"witnessmark": func() { os.Exit(run(os.Args[1:], console{os.Stdin, os.Stdout, os.Stderr})) }})
}

// TestScripts runs the scripts of testdata/script: what a user types, and what must come back.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script", Setup: func(e *testscript.Env) error {
		text, err := os.ReadFile("../../sheet/testdata/contract.json")
		if err != nil {
			return err
		}
		return os.WriteFile(e.WorkDir+"/contract.json", text, 0o644)
	}})
}
