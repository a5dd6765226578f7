package bullpen

// FieldEntry is what was typed at the fence for one throw. It is a rep's only once
// somebody said so.
type FieldEntry struct {
	ID        string // the phone's own name for it, random
	PitcherID string
	BullpenID string // that the link named; "" where only pitcher and day are known
	Day       string // on the phone's calendar, YYYY-MM-DD
	At        int64  // on the phone's clock, microseconds UTC: when its first digit was typed
	// Revision is the phone's: of two of one entry the higher is how it is now.
	Revision int64
	Undone   bool // the phone took it back
	Pitch    Pitch
	Reading  TypedReading // zero where the gun showed nothing
	Call     Call
	RepID    string // the rep it belongs to, "" for none yet
}

// ReadingFor returns the entry's reading as the bullpen's gun shows it, nil for none: the
// phone says value and unit, the bullpen where the gun stood and its display's step.
func (e FieldEntry) ReadingFor(pen Bullpen) *Reading {
	if e.Reading.Value <= 0 {
		return nil
	}
	r := Reading{Value: e.Reading.Value, Unit: e.Reading.Unit, Step: 1, Gun: pen.Gun}
	if pen.Step > 0 && r.Unit == pen.Unit {
		r.Step = pen.Step
	}
	if r.Value != float64(int64(r.Value)) { // tenths were shown
		r.Step = min(r.Step, 0.1)
	}
	return &r
}

// FieldLink is a private link to the field page: whoever has it can send entries, and
// sees the pitchers' labels, or the one's whose bullpen it names.
type FieldLink struct {
	Link
	BullpenID string // "" for all pitchers
}

// Lesson is a pitcher's day at the field with entries that belong to no rep yet.
type Lesson struct {
	PitcherID string
	Pitcher   string // her label
	Day       string
	Entries   int
	BullpenID string // the bullpen of that day they would belong to, "" where there is none
}
