package proc

import (
	"io"
	"time"
)

// Cmd is a program to run. It never goes through a shell.
type Cmd struct {
	Name string   // a program on the PATH, as Find takes it
	Args []string // without the program's name
	Dir  string   // where it runs; "" is here
	Env  []string // added to this process's own, as KEY=value

	// Stdin writes what the program reads from its standard input; nil is an empty
	// one. It is closed when Stdin returns.
	Stdin func(io.Writer) error
	// Stdout reads what the program prints; nil throws it away.
	Stdout func(io.Reader) error
	// Progress is told each report of an ffmpeg that was given ProgressFlags. It
	// takes the place of Stdout.
	Progress func(Progress)
	// Pipes are the program's file descriptors 3, 4, ...: pipe:3, pipe:4 of ffmpeg, each
	// an argument of its own. Windows has files in their place, so that ffmpeg needs -y to
	// write into them.
	Pipes []Pipe

	Nice  bool          // gives way to what else runs on the machine
	Limit time.Duration // wall clock; DefaultLimit for 0
	Grace time.Duration // from the polite signal to the last one; DefaultGrace for 0
}

// Pipe is one end of a pipe to a program: exactly one of the two is set. Each runs
// on a goroutine of its own. One that fails ends the program, and its error is
// Run's; what a Read leaves unread is thrown away.
type Pipe struct {
	Read  func(io.Reader) error // takes what the program writes
	Write func(io.Writer) error // makes what the program reads; closed when it returns
}

// Result is what is known of a program that ended.
type Result struct {
	Stderr string        // the end of what it said, at most 64 KB
	CPU    time.Duration // its user and system time
	Wall   time.Duration
}

// Limits of a Cmd that sets none.
const (
	DefaultLimit = 10 * time.Minute
	DefaultGrace = 5 * time.Second
)
