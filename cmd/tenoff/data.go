package main

import (
	"flag"
	"os"
	"path/filepath"
)

// dataFlag defines --data, which defaults to the place the XDG Base Directory
// Specification gives to an application's data.
func dataFlag(flags *flag.FlagSet) *string {
	return flags.String("data", defaultData(), "the data folder")
}

func defaultData() string {
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "tenoff")
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "" // openProgram asks for --data
	}
	return filepath.Join(home, ".local", "share", "tenoff")
}
