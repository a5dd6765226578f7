package caption

// smallest is how far a row's letters may shrink before typed text is cut.
const smallest = 0.75

// slack is kept free of a row's width: shaping may move letters a little.
const slack = 0.98

// fit returns row without what no font draws, with typed text cut so that it fits into room (in ems) and how
// much its letters must shrink. The result always fits.
func (t typeface) fit(row Row, room float64) (Row, float64) {
	room *= slack
	row = t.drawnRow(row)
	for t.rowWidth(row)*smallest > room {
		long := -1
		for i, s := range row {
			if s.User && len(s.Text) > len(ellipsis) && (long < 0 || t.width(s.Text) > t.width(row[long].Text)) {
				long = i
			}
		}
		if long < 0 {
			break
		}
		row[long].Text = t.cut(row[long].Text, t.rowWidth(row)-room/smallest)
	}
	if w := t.rowWidth(row); w > room {
		return row, room / w
	}
	return row, 1
}

const ellipsis = "…"

// cut takes at least one character and at least excess ems off the end of s, or
// all of it, and says so with an ellipsis.
func (t typeface) cut(s string, excess float64) string {
	target := t.width(s) - excess
	runes := []rune(s)
	for n := len(runes) - 1; n > 0; n-- {
		if short := string(runes[:n]) + ellipsis; t.width(short) <= target && short != s {
			return short
		}
	}
	return ellipsis
}

// rowWidth returns the width of a row in ems.
func (t typeface) rowWidth(row Row) float64 {
	var ems float64
	for _, s := range row {
		ems += t.width(s.Join) + t.width(s.Text)
	}
	return ems
}

// drawnRow drops the characters that no font has and the spans that are then
// empty.
func (t typeface) drawnRow(row Row) Row {
	drawn := make(Row, len(row))
	for i, s := range row {
		s.Text = t.drawn(s.Text)
		drawn[i] = s
	}
	if rows := shown([]Row{drawn}); len(rows) > 0 {
		return rows[0]
	}
	return nil
}
