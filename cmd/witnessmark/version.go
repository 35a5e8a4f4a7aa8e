package main

import (
	"fmt"
	"runtime/debug"

	"witnessmark/catalogue"
)

// versionCmd says which program and which catalogue this is.
type versionCmd struct{}

// Run prints the version. A build without version control has no revision to name.
func (c *versionCmd) Run(con console) error {
	revision, changed, goVersion := "unknown revision", "", ""
	if info, ok := debug.ReadBuildInfo(); ok {
		goVersion = info.GoVersion
		for _, s := range info.Settings {
			switch {
			case s.Key == "vcs.revision":
				revision = s.Value
			case s.Key == "vcs.modified" && s.Value == "true":
				changed = ", with local changes"
			}
		}
	}
	cat, err := catalogue.Default()
	if err != nil {
		return err
	}
	fmt.Fprintf(con.out, "witnessmark %s%s\n%s\ncatalogue %s, %d points\n", revision, changed, goVersion, cat.Version, len(cat.Points))
	return nil
}
