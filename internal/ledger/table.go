package ledger

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode"

	"tenoff/internal/bullpen"
)

// table is a CSV with a header.
type table struct {
	columns map[string]int // plain name to index
	lines   []tableLine
}

type tableLine struct {
	number int // from 1
	cells  []string
}

// cell returns the named cell without its spaces, "" if there is none.
func (t table) cell(l tableLine, name string) string {
	if i, ok := t.columns[name]; ok && i < len(l.cells) {
		return strings.TrimSpace(plain(strings.TrimLeftFunc(l.cells[i], unicode.IsSpace)))
	}
	return ""
}

// readTable reads text, which must begin with a header line.
func readTable(text string) (table, error) {
	in := csv.NewReader(strings.NewReader(text))
	in.Comma = separator(text)
	in.FieldsPerRecord = -1
	in.TrimLeadingSpace = in.Comma != '\t'
	t := table{columns: map[string]int{}}
	for {
		cells, err := in.Read()
		if err == io.EOF {
			return t, nil
		}
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			return t, wrong(parse.Line, "a quotation mark is out of place; put a cell with quotation marks, or with the separator in it, in quotation marks and double those inside")
		}
		if err != nil {
			return t, err
		}
		number, _ := in.FieldPos(0)
		if len(t.columns) == 0 {
			for i, name := range cells {
				if name = columnName(name); name == "" {
					continue
				}
				if _, twice := t.columns[name]; twice {
					return t, wrong(number, "the header names the column %s twice", name)
				}
				t.columns[name] = i
			}
			if len(t.columns) == 0 {
				return t, wrong(number, "the header names no column")
			}
			continue
		}
		t.lines = append(t.lines, tableLine{number, cells})
	}
}

// separator guesses what stands between cells from the first line that is not
// empty: the likeliest of tab, semicolon and comma outside quotation marks.
func separator(text string) rune {
	header, _, _ := strings.Cut(strings.TrimLeft(text, "\r\n"), "\n")
	var commas, semicolons, tabs int
	quoted := false
	for _, r := range header {
		switch {
		case r == '"':
			quoted = !quoted
		case quoted:
		case r == ',':
			commas++
		case r == ';':
			semicolons++
		case r == '\t':
			tabs++
		}
	}
	switch {
	case tabs > 0 && tabs >= semicolons && tabs >= commas:
		return '\t'
	case semicolons > 0 && semicolons >= commas:
		return ';'
	}
	return ','
}

// columnName is a header's name without case, spaces and marks, other words for
// a column turned into ours.
func columnName(s string) string {
	name := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
	if ours, ok := otherNames[name]; ok {
		return ours
	}
	return name
}

// otherNames are other words for our columns, plain.
var otherNames = map[string]string{
	"speed": "reading", "readingmph": "mph", "readingkmh": "kmh", "speedmph": "mph", "speedkmh": "kmh",
	"seconds": "time", "release": "time", "number": "rep", "notes": "note",
}

// clean takes off a byte order mark and makes every line end a plain one.
func clean(text string) string {
	text = strings.TrimPrefix(text, "\ufeff")
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
}

// wrong is an error that names a line.
func wrong(line int, format string, args ...any) *bullpen.Error {
	e := bullpen.Errorf(bullpen.Invalid, format, args...)
	e.Message = "Line " + itoa(line) + ": " + e.Message + "."
	return e
}
