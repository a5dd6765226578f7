package ledger

import (
	"encoding/csv"
	"io"
	"strings"
)

// WriteCSV writes a header and one line per rep, each bullpen in the order thrown:
// one bullpen, or all of a pitcher's. Columns lists the columns; computed numbers
// are rounded to 0.0001. Lines end as RFC 4180 has it, and a text cell that a
// spreadsheet would take for a formula begins with an apostrophe.
func WriteCSV(w io.Writer, sessions ...Session) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	line := make([]string, len(Columns))
	for i, c := range Columns {
		line[i] = c.Name
	}
	if err := out.Write(line); err != nil {
		return err
	}
	for _, s := range sessions {
		for _, row := range s.Rows() {
			for i, c := range Columns {
				line[i] = c.cell(row)
			}
			if err := out.Write(line); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

// text makes a cell of words safe to open in a spreadsheet: one that begins like a
// formula gets an apostrophe before it, and so does one that begins like that.
func text(s string) string {
	if formula(strings.TrimLeft(s, "'")) {
		return "'" + s
	}
	return s
}

// plain takes off what text put on.
func plain(s string) string {
	if rest, ok := strings.CutPrefix(s, "'"); ok && formula(strings.TrimLeft(rest, "'")) {
		return rest
	}
	return s
}

// formula says whether a spreadsheet would run s.
func formula(s string) bool { return s != "" && strings.ContainsRune("=+-@\t\r\n", rune(s[0])) }
