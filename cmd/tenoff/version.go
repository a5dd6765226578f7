package main

import (
	"context"
	"flag"
	"fmt"
	"runtime/debug"
)

// released is the version of a program that was made to be handed on: the linker sets it.
var released string

// version returns the release's or the module's version, or the commit it was built from.
func version() string {
	if released != "" {
		return released
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			return s.Value[:min(12, len(s.Value))]
		}
	}
	return "unreleased"
}

func printVersion(_ context.Context, io streams, flags *flag.FlagSet, args []string) error {
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	_, err := fmt.Fprintln(io.out, "tenoff", version())
	return err
}
