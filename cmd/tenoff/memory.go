package main

import (
	"os"
	"runtime/debug"
)

// What a server holds between answers is little, and an answer may make 30 times as
// much for a moment: with Go's own setting each sheet of a long bullpen waits for a
// collection, and a work node takes about 4 % more processor for a film (short films of 720p
// alone; how much that varies is not known). The limit is to keep what reading a long film takes
// in bounds; a film that comes near it was not measured.
const (
	growth      = 400       // per cent, as GOGC
	memoryLimit = 192 << 20 // bytes, as GOMEMLIMIT: with SQLite's own pages it stays below 256 MB
)

// collectSeldom sets the garbage collector for serving and working, unless the user has.
func collectSeldom() {
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(growth)
		debug.SetMemoryLimit(memoryLimit)
	}
}
