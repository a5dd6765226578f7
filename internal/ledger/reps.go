package ledger

import (
	"io"
	"math"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
)

// Line is one line of a REPS.csv: one rep, in the order thrown.
type Line struct {
	Line    int      // where it stood, from 1
	Frame   int      // release, frame index; bullpen.Unmarked if not said
	Seconds *float64 // release, seconds from the film's first shown frame; nil if not said
	Film    string   // name of the film; "" if not said
	Pitch   bullpen.Pitch
	Reading *bullpen.Reading // nil if the cell is empty
	Drill   string
	Set     int // 0: not said
	Number  int // rep within the set, 0: not said
	Call    bullpen.Call
	WarmUp  bool
	Note    string
}

// Read lists the columns that ReadReps understands, in any order, whatever the case
// of their names. Other columns are passed over.
var Read = []Column{
	{Name: "time", Meaning: "release: seconds of the film (12.48) or minutes (1:02.5); empty for a rep that was not filmed"},
	{Name: "frame", Meaning: "release: index of the frame on the film, from 0"},
	{Name: "film", Meaning: "name of the film, where the file has reps of several"},
	{Name: "pitch", Meaning: "code, key or name of the pitch: ch, c, change-up"},
	{Name: "reading", Meaning: "what the gun showed (47, 46.5, 75 km/h); empty or - for a rep it did not read"},
	{Name: "mph", Meaning: "the same in mph, in the place of reading"},
	{Name: "kmh", Meaning: "the same in km/h, in the place of reading"},
	{Name: "unit", Meaning: "mph or km/h; unless said, as the option says"},
	{Name: "step", Meaning: "the display's step, in unit"},
	{Name: "gun", Meaning: "where the gun stood: behind catcher, behind pitcher, beside pitcher or not said"},
	{Name: "drill", Meaning: "the drill; empty for the full pitch"},
	{Name: "set", Meaning: "the set"},
	{Name: "rep", Meaning: "the rep within the set"},
	{Name: "call", Meaning: "strike or ball"},
	{Name: "warmUp", Meaning: "yes for a warm-up rep, which is left out of every number"},
	{Name: "note", Meaning: "the instructor's note"},
}

// Into sets what the line says of a rep beside its film and its instant.
func (l Line) Into(r *bullpen.Rep) {
	r.Pitch, r.Reading, r.Drill, r.Set, r.Number = l.Pitch, l.Reading, l.Drill, l.Set, l.Number
	r.Call, r.WarmUp, r.Note = l.Call, l.WarmUp, l.Note
}

// ReadReps reads a REPS.csv: a header with the columns time or frame (frame counts
// where both are said), pitch and reading, and optionally drill, set, rep, film,
// unit, step, gun, call, warm-up and note; others are passed over. A time is
// seconds (12.48) or minutes (1:02.5). A line without either is a rep that was not
// filmed. What WriteCSV wrote is read back. Errors are *bullpen.Error of code
// Invalid and name the line.
func ReadReps(r io.Reader, d Defaults) ([]Line, error) {
	raw, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	t, err := readTable(clean(string(raw)))
	if err != nil {
		return nil, err
	}
	if err := t.needs(); err != nil {
		return nil, err
	}
	lines := make([]Line, 0, len(t.lines))
	for _, l := range t.lines {
		if blank(l.cells) {
			continue
		}
		line, err := t.rep(l, d)
		if err != nil {
			return nil, err
		}
		lines = append(lines, line)
	}
	if !t.has("step") {
		readings := make([]*bullpen.Reading, len(lines))
		for i, l := range lines {
			readings[i] = l.Reading
		}
		d.inWhole(readings)
	}
	return lines, nil
}

// has says whether there is a column of one of the names.
func (t table) has(names ...string) bool {
	return slices.ContainsFunc(names, func(n string) bool { _, ok := t.columns[n]; return ok })
}

// needs checks that the header has what a rep takes.
func (t table) needs() error {
	var missing []string
	if !t.has("time", "frame") {
		missing = append(missing, "time or frame")
	}
	if !t.has("pitch") {
		missing = append(missing, "pitch")
	}
	if !t.has("reading", "mph", "kmh") {
		missing = append(missing, "reading")
	}
	if len(missing) == 0 {
		return nil
	}
	return bullpen.Errorf(bullpen.Invalid, "Line 1: the header lacks %s; it needs time or frame, pitch and reading.", strings.Join(missing, ", "))
}

func blank(cells []string) bool { return strings.TrimSpace(strings.Join(cells, "")) == "" }

func (t table) rep(l tableLine, d Defaults) (Line, error) {
	cell := func(name string) string { return t.cell(l, name) }
	line := Line{Line: l.number, Frame: bullpen.Unmarked, Film: cell("film")}
	var err error
	if frame := cell("frame"); frame != "" {
		if line.Frame, err = countCell(l.number, "frame", frame, math.MaxInt32); err != nil {
			return line, err
		}
	}
	if at := cell("time"); at != "" {
		if line.Seconds, err = timeCell(l.number, at); err != nil {
			return line, err
		}
	}
	if line.Pitch, err = pitchCell(l.number, cell("pitch")); err != nil {
		return line, err
	}
	if line.Reading, err = t.reading(l, d); err != nil {
		return line, err
	}
	return line, t.details(l, &line)
}

// details reads what a line says beside pitch and reading.
func (t table) details(l tableLine, line *Line) (err error) {
	cell := func(name string) string { return t.cell(l, name) }
	line.Drill, line.Note = bullpen.DrillName(cell("drill")), cell("note")
	if err := lettersWithin(l.number, "drill", line.Drill, bullpen.MostDrill); err != nil {
		return err
	}
	if err := lettersWithin(l.number, "note", line.Note, bullpen.MostNote); err != nil {
		return err
	}
	if line.Set, err = countCell(l.number, "set", cell("set"), 999); err != nil {
		return err
	}
	if line.Number, err = countCell(l.number, "rep", cell("rep"), 9999); err != nil {
		return err
	}
	if line.Call, err = callCell(l.number, cell("call")); err != nil {
		return err
	}
	line.WarmUp, err = yesCell(l.number, "warm-up", cell("warmup"))
	return err
}

// reading reads the reading of a line, whose unit, display step and gun place may
// have columns of their own. A column named mph or km/h is a reading in that unit.
func (t table) reading(l tableLine, d Defaults) (*bullpen.Reading, error) {
	if place := t.cell(l, "gun"); place != "" {
		var err error
		if d.Gun, err = gunCell(l.number, place); err != nil {
			return nil, err
		}
	}
	if unit := t.cell(l, "unit"); unit != "" {
		var ok bool
		if d.Unit, ok = units[strings.ToLower(unit)]; !ok {
			return nil, wrong(l.number, "the unit is %q; write mph or km/h", unit)
		}
	}
	if step := t.cell(l, "step"); step != "" {
		x, _, ok := decimal(step)
		if !ok || x <= 0 || x > 1 {
			return nil, wrong(l.number, "the display's step is %q; write a number like 1 or 0.1", step)
		}
		d.Step = x
	}
	cell := t.cell(l, "reading")
	if mph := t.cell(l, "mph"); cell == "" && mph != "" {
		cell, d.Unit = mph, bullpen.MPH
	}
	if kmh := t.cell(l, "kmh"); cell == "" && kmh != "" {
		cell, d.Unit = kmh, bullpen.KMH
	}
	return d.readingCell(l.number, cell)
}
