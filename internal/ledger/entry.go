package ledger

import (
	"strings"

	"tenoff/internal/bullpen"
)

// Defaults are what a reading has that does not say so itself.
type Defaults struct {
	Unit bullpen.Unit
	Step float64 // of the display, in Unit; a finer value makes its own step finer
	Gun  bullpen.GunPlace
	// Whole reads what a CSV says of each rep beside pitch and reading, too.
	Whole bool
}

// Entry is one reading as typed, pasted or imported.
type Entry struct {
	Line    int              // where it stood, from 1
	Text    string           // as it was typed
	Reading *bullpen.Reading // nil holds the place of a rep that was not read
	Pitch   bullpen.Pitch    // "" if not said
	Said    *Line            // drill, set, rep, call, warm-up and note of a CSV read whole; nil without one
}

// ParseReadings reads a run ("55 fb 47 ch 46 ch", or "fb 55 ch 47"), a pasted
// column, or CSV whose header has a column reading (mph, km/h).
//
// A rep that the gun did not read keeps its place by -, ? or x, and in a column by
// an empty line, so that nothing after it moves up. A comma before a single digit
// is a decimal comma (46,5), any other separates. Errors are *bullpen.Error of
// code Invalid and name the line.
func ParseReadings(text string, d Defaults) ([]Entry, error) {
	entries, err := parseReadings(clean(text), d)
	if err == nil && len(entries) > MostEntries {
		return nil, bullpen.Errorf(bullpen.Invalid, "These are %d readings; the most at once is %d. Enter them in parts.", len(entries), MostEntries)
	}
	return entries, err
}

// MostEntries is how many readings can be entered at once.
const MostEntries = 10_000

func parseReadings(text string, d Defaults) (entries []Entry, err error) {
	header, column := hasHeader(text)
	if header && !column {
		return entriesOf(text, d)
	}
	defer func() { d.inWhole(readingsOf(entries)) }()
	if header {
		first := strings.IndexFunc(text, func(r rune) bool { return r != '\n' })
		end := strings.IndexByte(text[first:], '\n')
		if end < 0 {
			return nil, nil
		}
		before := text[:first+end]
		return scanColumn(text[first+end:], 1+strings.Count(before, "\n"), columnDefaults(before, d))
	}
	return scanColumn(text, 1, d)
}

// hasHeader says whether the first line that is not empty names a column of
// readings, and whether that is its only one.
func hasHeader(text string) (header, column bool) {
	line, _, _ := strings.Cut(strings.TrimLeft(text, "\n"), "\n")
	cells := strings.Split(line, string(separator(text)))
	for _, c := range cells {
		switch columnName(strings.Trim(c, `" `)) {
		case "reading", "mph", "kmh":
			header = true
		}
	}
	return header, len(cells) == 1
}

// columnDefaults takes the unit from the header of a single column.
func columnDefaults(header string, d Defaults) Defaults {
	switch columnName(header) {
	case "mph":
		d.Unit = bullpen.MPH
	case "kmh":
		d.Unit = bullpen.KMH
	}
	return d
}

// entriesOf reads a CSV with a header.
func entriesOf(text string, d Defaults) ([]Entry, error) {
	t, err := readTable(text)
	if err != nil {
		return nil, err
	}
	var entries []Entry
	for _, l := range t.lines {
		e := Entry{Line: l.number, Text: strings.TrimSpace(strings.Join(l.cells, " "))}
		if e.Reading, err = t.reading(l, d); err != nil {
			return nil, err
		}
		if p := t.cell(l, "pitch"); p != "" {
			if e.Pitch, err = pitchCell(l.number, p); err != nil {
				return nil, err
			}
		}
		if d.Whole {
			e.Said = new(Line)
			if err := t.details(l, e.Said); err != nil {
				return nil, err
			}
		}
		entries = append(entries, e)
	}
	if !t.has("step") {
		d.inWhole(readingsOf(entries))
	}
	return trimmed(entries), nil
}

func readingsOf(entries []Entry) []*bullpen.Reading {
	out := make([]*bullpen.Reading, len(entries))
	for i, e := range entries {
		out[i] = e.Reading
	}
	return out
}

// trimmed takes empty lines off the end, where they hold nobody's place.
func trimmed(entries []Entry) []Entry {
	for n := len(entries); n > 0 && entries[n-1].Text == ""; n-- {
		entries = entries[:n-1]
	}
	return entries
}
