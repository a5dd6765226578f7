package caption

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// plain makes typed text fit for one row: line breaks and other white space
// become single spaces; what has no shape of its own (controls, direction
// overrides that would turn our own words round) goes away.
func plain(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == '\u200c' || r == '\u200d': // joiners are part of how some scripts and emoji are spelled
			return r
		case r == utf8.RuneError, unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp):
			return -1
		}
		return r
	}, norm.NFC.String(s))
	return strings.Join(strings.Fields(s), " ")
}

// rightToLeft reports whether s has a letter of a script written from the right.
func rightToLeft(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool {
		return unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko)
	})
}

// join puts two rows into one.
func join(a, b Row) Row {
	b = append(Row(nil), b...)
	if len(b) > 0 && b[0].Join == "" {
		b[0].Join = dot
	}
	return append(append(Row(nil), a...), b...)
}

// shown cleans every span, drops those with nothing to say and the rows that are
// then empty; the first span of a row has nothing to join.
func shown(rows []Row) []Row {
	var out []Row
	for _, row := range rows {
		var kept Row
		for _, s := range row {
			if s.Text = plain(s.Text); s.Text == "" {
				continue
			}
			if len(kept) == 0 {
				s.Join = ""
			}
			kept = append(kept, s)
		}
		if len(kept) > 0 {
			out = append(out, kept)
		}
	}
	return out
}
