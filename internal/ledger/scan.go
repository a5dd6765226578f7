package ledger

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"tenoff/internal/bullpen"
)

// scanColumn reads a run or a column whose first line has the given number.
func scanColumn(text string, first int, d Defaults) ([]Entry, error) {
	var lines [][]Entry
	run := false
	for i, l := range strings.Split(text, "\n") {
		entries, err := scanLine(l, first+i, d)
		if err != nil {
			return nil, err
		}
		run = run || len(entries) > 1
		lines = append(lines, entries)
	}
	var all []Entry
	for i, entries := range lines {
		if len(entries) == 0 && !run && len(all) > 0 {
			entries = []Entry{{Line: first + i}}
		}
		all = append(all, entries...)
	}
	return trimmed(all), nil
}

// word is one thing of a run.
type word struct {
	text     string
	value    float64
	decimals int
	kind     kind
	pitch    bullpen.Pitch
	unit     bullpen.Unit
}

type kind int

const (
	isNumber kind = iota
	isNone        // a rep that was not read
	isPitch
	isUnit
)

// scanLine reads one line of a run. A pitch belongs to the reading before it, or, in
// a line that begins with a pitch, to the one after it.
func scanLine(line string, number int, d Defaults) ([]Entry, error) {
	words, err := split(line, number)
	if err != nil || len(words) == 0 {
		return nil, err
	}
	var entries []Entry
	var ahead *word // a pitch that waits for its reading
	pitchFirst := words[0].kind == isPitch
	for i := range words {
		w := &words[i]
		switch w.kind {
		case isNumber, isNone:
			e := Entry{Line: number, Text: w.text}
			if w.kind == isNumber {
				e.Reading = d.reading(w.value, w.decimals, "")
			}
			if ahead != nil {
				e.Pitch, e.Text, ahead = ahead.pitch, ahead.text+" "+e.Text, nil
			}
			entries = append(entries, e)
		case isUnit:
			if i == 0 || words[i-1].kind != isNumber {
				return nil, wrong(number, "%q stands after no reading", w.text)
			}
			e := &entries[len(entries)-1]
			e.Reading = d.reading(words[i-1].value, words[i-1].decimals, w.unit)
			e.Text += " " + w.text
		case isPitch:
			if pitchFirst {
				if ahead != nil {
					return nil, wrong(number, "%q and %q stand without a reading between them; hold the place of a rep that was not read with a -", ahead.text, w.text)
				}
				ahead = w
				continue
			}
			e := &entries[len(entries)-1]
			if e.Pitch != "" {
				return nil, wrong(number, "%q has no reading before it; hold the place of a rep that was not read with a -", w.text)
			}
			e.Pitch = w.pitch
			e.Text += " " + w.text
		}
	}
	if ahead != nil {
		return nil, wrong(number, "%q has no reading after it; hold the place of a rep that was not read with a -", ahead.text)
	}
	return entries, nil
}

// split cuts a line into its words.
func split(line string, number int) ([]word, error) {
	var words []word
	for len(line) > 0 {
		r, size := utf8.DecodeRuneInString(line)
		switch {
		case unicode.IsSpace(r), r == ',', r == ';', r == '|', r == '"':
			line = line[size:]
		case r >= '0' && r <= '9':
			end := numberEnd(line)
			if glued, ok := glued(line[:end]); ok {
				words, line = append(words, glued...), line[end:]
				continue
			} else if end > 3 && digitsEnd(line) == end {
				return nil, wrong(number, "%q runs together; put a space between readings", line[:end])
			}
			w := word{text: line[:end]}
			var ok bool
			if w.value, w.decimals, ok = decimal(w.text); !ok || w.value <= 0 {
				return nil, wrong(number, "%q is no reading", w.text)
			}
			if w.value > bullpen.MostRead {
				return nil, tooMuch(number, w.text)
			}
			words, line = append(words, w), line[end:]
			// 55-47: a hyphen between readings only separates them.
			if len(line) > 1 && line[0] == '-' && line[1] >= '0' && line[1] <= '9' {
				line = line[1:]
			}
		case r == '-' && len(line) > 1 && line[1] >= '0' && line[1] <= '9':
			return nil, wrong(number, "a reading can't be negative")
		case unicode.IsLetter(r):
			end := wordEnd(line)
			w, ok := wordOf(line[:end])
			if !ok {
				return nil, wrong(number, "%q is neither a reading nor a pitch; for pitches use %s", line[:end], pitchWords())
			}
			words, line = append(words, w), line[end:]
		case noReading[string(r)]:
			words, line = append(words, word{text: string(r), kind: isNone}), line[size:]
		default:
			return nil, wrong(number, "%q belongs to no reading", string(r))
		}
	}
	return words, nil
}

// glued cuts a run of digits without spaces, 554746, into readings of two digits, if
// each of them can be one.
func glued(digits string) (words []word, ok bool) {
	const least = 25 // no pitch is slower, in either unit; and 2026 is a year
	if len(digits) < 4 || len(digits)%2 != 0 || digitsEnd(digits) != len(digits) {
		return nil, false
	}
	for ; digits != ""; digits = digits[2:] {
		w := word{text: digits[:2]}
		if w.value, w.decimals, ok = decimal(w.text); !ok || w.value < least {
			return nil, false
		}
		words = append(words, w)
	}
	return words, true
}

// wordOf tells a unit, a held place and a pitch apart.
func wordOf(s string) (word, bool) {
	if unit, ok := units[strings.ToLower(s)]; ok {
		return word{text: s, kind: isUnit, unit: unit}, true
	}
	if noReading[s] {
		return word{text: s, kind: isNone}, true
	}
	t, ok := bullpen.PitchNamed(s)
	return word{text: s, kind: isPitch, pitch: t.Code}, ok
}

// numberEnd returns where the number at the start of s ends. A point before digits
// is a decimal point; a comma before a single digit is a decimal comma, since no
// gun reads below 10.
func numberEnd(s string) int {
	end := digitsEnd(s)
	if end+1 >= len(s) {
		return end
	}
	fraction := digitsEnd(s[end+1:])
	switch {
	case s[end] == '.' && fraction > 0, s[end] == ',' && fraction == 1:
		return end + 1 + fraction
	}
	return end
}

func digitsEnd(s string) int {
	end := 0
	for end < len(s) && s[end] >= '0' && s[end] <= '9' {
		end++
	}
	return end
}

// wordEnd returns where the letters at the start of s end; hyphens and slashes
// inside belong to them (change-up, km/h).
func wordEnd(s string) int {
	for i, r := range s {
		if unicode.IsLetter(r) {
			continue
		}
		if next, _ := utf8.DecodeRuneInString(s[i+1:]); (r == '-' || r == '/') && unicode.IsLetter(next) {
			continue
		}
		return i
	}
	return len(s)
}
