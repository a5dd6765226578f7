package ledger

import (
	"encoding/csv"
	"io"
	"strings"
	"unicode/utf8"
)

// WriteCSV writes a header and one line per rep, each bullpen in the order thrown:
// one bullpen, or all of a pitcher's. Columns lists the columns; computed numbers
// are rounded to 0.0001. Lines end as RFC 4180 has it, and a text cell that a
// spreadsheet would take for a formula begins with an apostrophe.
func WriteCSV(w io.Writer, sessions ...Session) error {
	out, err := NewCSV(w)
	for _, s := range sessions {
		if err == nil {
			err = out.Write(s)
		}
	}
	return err
}

// CSV writes what WriteCSV does, a bullpen at a time.
type CSV struct {
	out  *csv.Writer
	line []string
}

// NewCSV writes the header.
func NewCSV(w io.Writer) (*CSV, error) {
	c := &CSV{out: csv.NewWriter(w), line: make([]string, len(Columns))}
	c.out.UseCRLF = true
	for i, column := range Columns {
		c.line[i] = column.Name
	}
	return c, c.write()
}

// Close has nothing to add: a CSV ends with its last line.
func (c *CSV) Close() error { return nil }

// Write writes the lines of a bullpen, all the way to the writer underneath.
func (c *CSV) Write(s Session) error {
	for _, row := range s.Rows() {
		for i, column := range Columns {
			c.line[i] = column.cell(row)
		}
		if err := c.out.Write(c.line); err != nil {
			return err
		}
	}
	c.out.Flush()
	return c.out.Error()
}

func (c *CSV) write() error {
	if err := c.out.Write(c.line); err != nil {
		return err
	}
	c.out.Flush()
	return c.out.Error()
}

// text makes a cell of words safe to open in a spreadsheet: where it begins like a
// formula it gets an apostrophe before it, and where it begins like that, too. So does
// each part of it that is a cell of its own where the table is split by semicolons, bars,
// tabs or lines without regard to our quotation marks, as a spreadsheet does in a
// country of decimal commas (OWASP, CSV Injection: the separator and the quotation
// mark are as much an attacker's as the first letter).
func text(s string) string {
	s = lineEnds.Replace(s) // csv.Writer would leave out a lone \r, and what stands behind it would begin a line
	var out strings.Builder
	for i := range len(s) {
		if begins(s, i) && formula(s, i) {
			out.WriteByte('\'')
		}
		out.WriteByte(s[i])
	}
	return out.String()
}

// plain takes off what text put on.
func plain(s string) string {
	var out strings.Builder
	for i := range len(s) {
		if begins(s, i) && s[i] == '\'' && formula(s, i) {
			continue
		}
		out.WriteByte(s[i])
	}
	return out.String()
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// begins says whether some spreadsheet would begin a cell at s[i].
func begins(s string, i int) bool { return i == 0 || strings.IndexByte(";|\t\n", s[i-1]) >= 0 }

// formula says whether a spreadsheet would run what begins at s[i]; spaces, quotation
// marks and the apostrophes of text before it do not count.
func formula(s string, i int) bool {
	rest := strings.TrimLeft(s[i:], "'\" ")
	first, _ := utf8.DecodeRuneInString(rest)
	return rest != "" && (strings.ContainsRune("=+-@\uff1d\uff0b\uff0d\uff20", first) || i == 0 && strings.ContainsRune("\t\n", first))
}
