package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Say which boildown this is",
		Example: "  boildown version",
		Args:    exactly(0, "no argument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			_, err := fmt.Fprintf(cmd.OutOrStdout(), "boildown %s %s/%s %s\n", buildVersion(), runtime.GOOS, runtime.GOARCH, runtime.Version())
			return err
		},
	}
}

// buildVersion is what the toolchain stamped in: a tag when built from one,
// else the commit.
func buildVersion() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	version, dirty := info.Main.Version, ""
	if version != "" && version != "(devel)" {
		return version
	}
	version = "devel"
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision" && len(s.Value) >= 12:
			version = s.Value[:12]
		case s.Key == "vcs.modified" && s.Value == "true":
			dirty = "+changes"
		}
	}
	return version + dirty
}
