package postgres

import (
	"strconv"
	"strings"
	"sync"
)

// Say says a statement that SQLite understands as PostgreSQL does: its places are
// numbered, an index is not named, and a join that keeps the order of its tables is any
// join. Texts, quoted names and comments stay as they are.
func Say(statement string) string {
	if said, known := saidBefore.Load(statement); known {
		return said.(string)
	}
	said := say(statement)
	saidBefore.Store(statement, said)
	return said
}

// saidBefore keeps statements; there are only so many, since no value stands in one.
var saidBefore sync.Map

func say(statement string) string {
	var out strings.Builder
	places := 0
	for rest := statement; rest != ""; {
		part, hint := next(rest)
		rest = rest[len(part):]
		switch {
		case hint == "INDEXED BY":
			rest = afterName(rest)
		case hint == "CROSS JOIN":
			out.WriteString("JOIN")
		case part == "?":
			digits := len(rest) - len(strings.TrimLeft(rest, "0123456789"))
			if digits == 0 {
				places++
				out.WriteString("$" + strconv.Itoa(places))
				continue
			}
			out.WriteString("$" + rest[:digits])
			rest = rest[digits:]
		default:
			out.WriteString(part)
		}
	}
	return out.String()
}

// hints are what SQLite alone understands.
var hints = []string{"INDEXED BY", "CROSS JOIN"}

// next returns the part of a statement that stands together at its beginning: a text, a
// quoted name, a comment, one of the hints, or a letter.
func next(rest string) (part, hint string) {
	for _, h := range hints {
		if strings.HasPrefix(rest, h) {
			return h, h
		}
	}
	switch {
	case rest[0] == '\'' || rest[0] == '"':
		if end := strings.IndexByte(rest[1:], rest[0]); end >= 0 {
			return rest[:end+2], ""
		}
	case strings.HasPrefix(rest, "--"):
		if end := strings.IndexByte(rest, '\n'); end >= 0 {
			return rest[:end], ""
		}
		return rest, ""
	}
	return rest[:1], ""
}

// afterName returns what stands behind the name at the beginning.
func afterName(rest string) string {
	rest = strings.TrimLeft(rest, " \n\t")
	end := strings.IndexAny(rest, " \n\t,)")
	if end < 0 {
		return ""
	}
	return rest[end:]
}
