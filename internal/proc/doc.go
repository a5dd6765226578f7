// Package proc starts processes: the only package that does.
//
// A process it starts can't outlive the call that started it, can't stall on a
// pipe that nobody drains, and can't run for ever.
package proc
