package ledger

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"tenoff/internal/bullpen"
)

func itoa(n int) string { return strconv.Itoa(n) }

// decimal reads a number that may have a decimal comma; ok is false for anything
// that is not a plain finite number.
func decimal(s string) (x float64, decimals int, ok bool) {
	s = strings.Replace(s, ",", ".", 1)
	whole, fraction, _ := strings.Cut(s, ".")
	if whole == "" || len(s) > 32 || !digits(whole) || (fraction == "" && strings.HasSuffix(s, ".")) || !digits(fraction) {
		return 0, 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, len(fraction), err == nil && !math.IsInf(x, 0)
}

func digits(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' }) < 0
}

// reading makes a reading of a number and a unit ("" for the default), on a display
// at least as fine as the number was written.
func (d Defaults) reading(value float64, decimals int, unit bullpen.Unit) *bullpen.Reading {
	r := bullpen.Reading{Value: value, Unit: unit, Step: d.Step, Gun: d.Gun}
	if r.Unit == "" {
		r.Unit = d.Unit
	}
	if fine := math.Pow10(-decimals); decimals > 0 && (r.Step <= 0 || fine < r.Step) {
		r.Step = fine
	}
	filled := bullpen.Bullpen{Unit: bullpen.MPH, Step: 1}.Fill(r)
	return &filled
}

// inWhole gives readings of which each ends in .0 the display's own step: a spreadsheet
// wrote the zeros, and a gun that shows tenths would not show so many of them. One alone
// stays as it was typed.
func (d Defaults) inWhole(readings []*bullpen.Reading) {
	own := d.reading(1, 0, "").Step
	n := 0
	for _, r := range readings {
		if r == nil {
			continue
		}
		if r.Value != math.Trunc(r.Value) {
			return
		}
		n++
	}
	if n < 2 {
		return
	}
	for _, r := range readings {
		if r != nil {
			r.Step = max(r.Step, own)
		}
	}
}

// units are the ways to write a unit.
var units = map[string]bullpen.Unit{"mph": bullpen.MPH, "km/h": bullpen.KMH, "kmh": bullpen.KMH, "kph": bullpen.KMH}

// readingCell reads a cell like 55, 46,5 or "88 km/h"; an empty one is no reading.
func (d Defaults) readingCell(line int, cell string) (*bullpen.Reading, error) {
	if cell == "" || noReading[cell] {
		return nil, nil
	}
	fields := strings.Fields(cell)
	x, decimals, ok := decimal(fields[0])
	var unit bullpen.Unit
	if ok && len(fields) == 2 {
		unit, ok = units[strings.ToLower(fields[1])]
	}
	if !ok || len(fields) > 2 || x <= 0 {
		return nil, wrong(line, "%q is no reading; write a number like 55 or 46.5", cell)
	}
	if x > bullpen.MostRead {
		return nil, tooMuch(line, cell)
	}
	return d.reading(x, decimals, unit), nil
}

// tooMuch refuses a number that no gun shows.
func tooMuch(line int, text string) error {
	return wrong(line, "%q is no reading: no ball is that fast; correct it", text)
}

// noReading holds the place of a rep that the gun did not read.
var noReading = map[string]bool{"-": true, "–": true, "—": true, "?": true, "x": true, "X": true}

// pitchCell reads a pitch by code, key or name.
func pitchCell(line int, cell string) (bullpen.Pitch, error) {
	t, ok := bullpen.PitchNamed(cell)
	if !ok {
		return "", wrong(line, "%q is no pitch; use %s", cell, pitchWords())
	}
	return t.Code, nil
}

func pitchWords() string {
	var words []string
	for _, t := range bullpen.PitchTypes {
		words = append(words, string(t.Code)+" for "+t.Name)
	}
	return strings.Join(words, ", ")
}

// timeCell reads seconds (12.48), minutes (1:02.5) or hours (0:01:02.5).
func timeCell(line int, cell string) (*float64, error) {
	parts := strings.Split(cell, ":")
	var total float64
	for i, part := range parts {
		x, decimals, ok := decimal(part)
		last := i == len(parts)-1
		if !ok || (!last && decimals > 0) || (i > 0 && x >= 60) || len(parts) > 3 {
			return nil, wrong(line, "%q is no time; write seconds like 12.48, or minutes like 1:02.5", cell)
		}
		total = total*60 + x
	}
	if total > 86400 {
		return nil, wrong(line, "%q is beyond a day", cell)
	}
	return &total, nil
}

// countCell reads a whole number of at most most; an empty cell is 0.
func countCell(line int, name, cell string, most int) (int, error) {
	if cell == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(cell)
	if err != nil || n < 0 || n > most || !digits(cell) {
		return 0, wrong(line, "%s is %q; write a whole number from 0 to %d", name, cell, most)
	}
	return n, nil
}

// lettersWithin refuses a text of more than most letters.
func lettersWithin(line int, name, text string, most int) error {
	if n := utf8.RuneCountInString(text); n > most {
		return wrong(line, "the %s has %d letters; the most is %d", name, n, most)
	}
	return nil
}

// yesCell reads yes or no in the usual ways.
func yesCell(line int, name, cell string) (bool, error) {
	switch strings.ToLower(cell) {
	case "", "no", "n", "false", "0":
		return false, nil
	case "yes", "y", "true", "1", "x":
		return true, nil
	}
	return false, wrong(line, "%s is %q; write yes or no", name, cell)
}

// callCell reads strike or ball.
func callCell(line int, cell string) (bullpen.Call, error) {
	switch strings.ToLower(cell) {
	case "":
		return bullpen.NoCall, nil
	case "strike", "s":
		return bullpen.Strike, nil
	case "ball", "b":
		return bullpen.Ball, nil
	}
	return "", wrong(line, "the call is %q; write strike or ball", cell)
}

// gunCell reads where the gun stood.
func gunCell(line int, cell string) (bullpen.GunPlace, error) {
	name := strings.ToLower(strings.Join(strings.Fields(cell), " "))
	name = strings.Replace(name, " the ", " ", 1)
	for _, place := range bullpen.GunPlaces {
		if name == string(place) {
			return place, nil
		}
	}
	return "", wrong(line, "the gun's place is %q; write %s, %s, %s or %s", cell, bullpen.BehindCatcher, bullpen.BehindPitcher, bullpen.BesidePitcher, bullpen.PlaceNotSaid)
}
