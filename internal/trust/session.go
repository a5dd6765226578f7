package trust

import (
	"cmp"
	"slices"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Session is one bullpen of a pitcher with its numbers.
type Session struct {
	Bullpen bullpen.Bullpen
	Reps    []bullpen.Rep
	Sheet   bullpen.Sheet // bullpen.Judge of them: one RepNumbers for each rep
	// Checks are tempo.Assess's of the bullpen; none where nothing tells of the body.
	Checks []tempo.Check
	Body   []tempo.RepBody // tempo.Assess's, one for each rep; none where nothing tells of the body
}

// Week is what one bullpen adds to what is followed over the weeks: so little that it can
// be stored with the bullpen's verdicts, and a year is read at once.
type Week struct {
	BullpenID string `json:"-"`
	Day       string `json:"-"`
	Begun     int64  `json:"-"`
	GunName   string `json:"-"`

	Reps     int            `json:"reps,omitempty"`     // all logged, warm-up included
	WarmUp   int            `json:"warmUp,omitempty"`   // warm-up reps among them
	Baseline *bullpen.Speed `json:"baseline,omitempty"` // of the first full pitch that has one, mph
	Full     []Full         `json:"full,omitempty"`     // by kind of pitch: those read, as the sheet has them, then the others as they were thrown
}

// Full is one kind of pitch in a bullpen, full pitches only, warm-up left out.
type Full struct {
	Pitch  bullpen.Pitch `json:"pitch"`
	Point  *Point        `json:"point,omitempty"`  // nil if it was not read; without its bullpen, day and body
	Unsure *float64      `json:"unsure,omitempty"` // standard uncertainty of the point's mean gap, mph; nil if none can be given
	Speeds []Speeds      `json:"speeds,omitempty"` // its readings, by where the gun stood
	Body   *Body         `json:"body,omitempty"`   // did the body slow down; nil where nothing tells
	Thrown []Pitched     `json:"thrown"`           // in the order thrown
}

// Speeds are a pitch's readings from one place of the gun.
type Speeds struct {
	Gun    bullpen.GunPlace `json:"gun"`
	Mean   bullpen.Speed    `json:"mean"`   // mph
	Unsure float64          `json:"unsure"` // standard uncertainty of the mean, mph; 0 of one reading
}

// Pitched is one rep of a full pitch.
type Pitched struct {
	RepID   string          `json:"id"`
	Order   int             `json:"n"`
	Read    bool            `json:"read,omitempty"`
	Gap     *bullpen.Speed  `json:"gap,omitempty"`     // mph; there wherever Verdict is
	Verdict bullpen.Verdict `json:"verdict,omitempty"` // bullpen.Pending for none
	Call    bullpen.Call    `json:"call,omitempty"`
	Body    tempo.Verdict   `json:"body,omitempty"` // what is told of its body; "" for nothing
}

// Week returns what the session adds to the weeks.
func (s Session) Week() Week {
	w := Week{}.In(s.Bullpen)
	w.Reps = len(s.Reps)
	for _, r := range s.Reps {
		if r.WarmUp {
			w.WarmUp++
		}
	}
	for _, sum := range s.Sheet.Summaries {
		if bullpen.DrillKey(sum.Drill) != "" {
			continue
		}
		if sum.Baseline != nil && w.Baseline == nil {
			w.Baseline = &sum.Baseline.Speed
		}
		if sum.N > 0 {
			f := w.full(sum.Pitch)
			f.Speeds = append(f.Speeds, Speeds{sum.Gun, sum.Mean, unsureMean(sum)})
		}
	}
	for i := range min(len(s.Reps), len(s.Sheet.Reps)) {
		r, n := s.Reps[i], s.Sheet.Reps[i]
		if bullpen.DrillKey(r.Drill) != "" || r.WarmUp {
			continue
		}
		one := Pitched{RepID: r.ID, Order: r.Order, Read: n.Speed != nil, Verdict: n.Verdict, Call: r.Call}
		if n.Gap != nil {
			one.Gap = &n.Gap.MPH
		}
		if i < len(s.Body) {
			one.Body = s.Body[i].Told
		}
		f := w.full(r.Pitch)
		f.Thrown = append(f.Thrown, one)
	}
	for i := range w.Full {
		f := &w.Full[i]
		slices.SortStableFunc(f.Thrown, func(a, b Pitched) int { return cmp.Compare(a.Order, b.Order) })
		c, told := tempo.Assessment{Checks: s.Checks}.Check(tempo.Subject{Pitch: f.Pitch})
		if told && (c.Verdict != tempo.CantTell || c.Legs != nil) { // of nothing timed, nothing is followed
			f.Body = &Body{Verdict: c.Verdict, Legs: c.Legs, Own: c.Own}
		}
		f.read(s)
	}
	return w
}

// In returns the week as one of the bullpen b, by which it is found and put in its place.
func (w Week) In(b bullpen.Bullpen) Week {
	w.BullpenID, w.Day, w.Begun, w.GunName = b.ID, b.Day, b.Begun, b.GunName
	return w
}

// full returns the pitch's entry, a new one if there is none.
func (w *Week) full(p bullpen.Pitch) *Full {
	for i := range w.Full {
		if w.Full[i].Pitch == p {
			return &w.Full[i]
		}
	}
	w.Full = append(w.Full, Full{Pitch: p, Thrown: []Pitched{}})
	return &w.Full[len(w.Full)-1]
}

// of returns what was thrown of a pitch; ok is false for nothing.
func (w Week) of(p bullpen.Pitch) (f Full, ok bool) {
	for _, f := range w.Full {
		if f.Pitch == p {
			return f, true
		}
	}
	return f, false
}

// byDay returns the bullpens from the earliest to the latest day, those of one day
// as they were begun, in whatever order they came.
func byDay(weeks []Week) []Week {
	sorted := slices.Clone(weeks)
	slices.SortStableFunc(sorted, func(a, b Week) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Begun, b.Begun), cmp.Compare(a.BullpenID, b.BullpenID))
	})
	return sorted
}

// dayNumber counts days, so that differences are days; ok is false for a text that
// is no day.
func dayNumber(day string) (n int, ok bool) {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return 0, false
	}
	return int(at.Unix() / 86400), true
}
