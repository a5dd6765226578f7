package film

import (
	"regexp"
	"strings"
)

// What ffmpeg and ffprobe say on their standard error is for people, and changes
// from version to version. It is read for two things only: to name what this machine
// lacks, and as one of several signs that a film is damaged.

// interrupted is ffmpeg's exit code after a polite signal.
const interrupted = 255

// full is what the system calls a disk without room (ENOSPC).
const full = "No space left on device"

// noMemory is what the system says of memory that it does not give (ENOMEM).
const noMemory = "Cannot allocate memory"

// troubles are the system's words for what is wrong with a machine, and ours.
var troubles = []struct{ said, why string }{
	{noMemory, "this machine has too little memory free"},
	{"Input/output error", "the disk gave an error"},
	{"Stale file handle", "the disk gave an error"},
	{"Permission denied", "reading its file was not allowed"},
	{"No such file or directory", "its file is not where it was put"},
	{"Too many open files", "too many files are open on this machine"},
	{"Resource temporarily unavailable", "this machine is too busy"},
}

// machine says what is wrong with the machine on which a program said that; "" for
// nothing that is known.
func machine(said string) string {
	for _, t := range troubles {
		if strings.Contains(said, t.said) {
			return t.why
		}
	}
	return ""
}

// absent finds the part that an ffmpeg says it was built without: its kind and its
// name, or the codec that it has no decoder for.
var absent = regexp.MustCompile(`(?:No such|Unknown) (filter|encoder|decoder):? '([^']+)'|[Dd]ecoder (?:\(codec |found for: )(\w+)|Unknown input format: '?([\w,]+)`)

// lacking names the part of ffmpeg for lack of which it failed; "" for none that it
// named.
func lacking(said string) string {
	m := absent.FindStringSubmatch(said)
	if m == nil {
		return ""
	}
	kind, name := m[1], m[2]
	switch {
	case m[3] != "":
		kind, name = "decoder", m[3]
	case m[4] != "":
		kind, name = "reader of the container", m[4]
	}
	for _, p := range parts {
		if p.list == "-"+kind+"s" && p.name == name {
			return p.what
		}
	}
	return "the " + kind + " " + name
}

// corrupt reports whether a program complained of the film's own bytes
// (AVERROR_INVALIDDATA), or that they end before anything was found in them, and of
// nothing that may lie with the machine or with how ffmpeg was built.
func corrupt(said string) bool {
	return (strings.Contains(said, "Invalid data found when processing input") || strings.HasSuffix(strings.TrimSpace(said), ": End of file")) &&
		!strings.Contains(said, full) && machine(said) == "" && lacking(said) == ""
}
