package judged

import (
	"cmp"
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// Delivery is a rep whose four instants are known, on a film that can be shown.
type Delivery struct {
	Rep  bullpen.Rep
	Film store.Film
	Pace tempo.RepBody
	// Frames of the film that show the instants, in the order of Instants.
	Frames [4]int
	// Before is how long before the release each instant is, real seconds.
	Before [4]float64
	// Lines are those of her trunk and hips at the instants; nil where her joints are not
	// seen, and until Lined.
	Lines [4]*posture.Lines
}

// Instants are the four instants of a delivery, in the order in which they come.
var Instants = [4]bullpen.Event{bullpen.Drive, bullpen.Plant, bullpen.Top, bullpen.Release}

// Deliveries returns the reps of a pitch in a drill whose four instants are known and whose
// film can be shown, in the order thrown; warm-ups are none of them.
func (b Bullpen) Deliveries(pitch bullpen.Pitch, drill string) []Delivery {
	var out []Delivery
	for i, r := range b.Reps {
		if r.Pitch == pitch && bullpen.DrillKey(r.Drill) == bullpen.DrillKey(drill) && !r.WarmUp {
			if d, ok := b.delivery(i); ok {
				out = append(out, d)
			}
		}
	}
	return out
}

// delivery returns rep i as a delivery, if it is one. A mark is the frame that somebody
// chose; what was found lies between frames, and the nearest one shows it.
func (b Bullpen) delivery(i int) (Delivery, bool) {
	d := Delivery{Rep: b.Reps[i], Pace: b.Body.Reps[i]}
	at := slices.IndexFunc(b.Films, func(f store.Film) bool { return f.ID == d.Rep.FilmID })
	release := d.Pace.Moments.Release
	if at < 0 || release == nil || d.Rep.Release < 0 || b.Films[at].State != bullpen.FilmReady {
		return d, false
	}
	d.Film = b.Films[at]
	marks := [4]int{d.Rep.Drive, d.Rep.Plant, d.Rep.Top, d.Rep.Release}
	for k, e := range Instants {
		m := d.Pace.Moments.At(e)
		if m == nil {
			return d, false
		}
		d.Before[k] = release.Seconds - m.Seconds
		if d.Frames[k] = marks[k]; d.Frames[k] < 0 {
			d.Frames[k] = b.Cadences[d.Film.ID].Frame(d.Film.Clock, m.Seconds)
		}
	}
	// Which of plant and top comes first differs from pitcher to pitcher.
	return d, d.Frames[0] <= min(d.Frames[1], d.Frames[2]) && max(d.Frames[1], d.Frames[2]) <= d.Frames[3] && d.Frames[3] < d.Film.Clock.Frames()
}

// DeliveryPair returns an off-speed delivery and the fastball to lay above it. Unless a rep
// is named, "", each is typical of its group: nearest the medians of its legs time, its arm
// time and its reading; the off-speed pitch is the one that the headline is about. A
// fastball of the same film is preferred, then one seen from the same side. The error says
// in one sentence what is missing.
func (b Bullpen) DeliveryPair(offID, fastID string) (off, fast Delivery, err error) {
	if offID != "" {
		off, err = b.named(offID)
	} else {
		off, err = b.typicalOff()
	}
	if err != nil {
		return off, fast, err
	}
	if fastID != "" {
		fast, err = b.named(fastID)
	} else {
		fast, err = b.typicalFast(off)
	}
	if err == nil && off.Rep.ID == fast.Rep.ID {
		err = bullpen.Errorf(bullpen.Invalid, "Choose two different reps for a delivery sheet.")
	}
	return off, fast, err
}

// OffDeliveries returns the deliveries of all pitches but the baseline.
func (b Bullpen) OffDeliveries() []Delivery {
	return b.deliveriesOf(func(r bullpen.Rep) bool { return r.Pitch != b.Baseline() })
}

// FastDeliveries returns those of the baseline pitch.
func (b Bullpen) FastDeliveries() []Delivery {
	return b.deliveriesOf(func(r bullpen.Rep) bool { return r.Pitch == b.Baseline() })
}

func (b Bullpen) deliveriesOf(is func(bullpen.Rep) bool) []Delivery {
	var out []Delivery
	for i, r := range b.Reps {
		if !r.WarmUp && is(r) {
			if d, ok := b.delivery(i); ok {
				out = append(out, d)
			}
		}
	}
	return out
}

func (b Bullpen) named(repID string) (Delivery, error) {
	i := slices.IndexFunc(b.Reps, func(r bullpen.Rep) bool { return r.ID == repID })
	if i < 0 {
		return Delivery{}, bullpen.Errorf(bullpen.NotFound, "That rep is no longer in this bullpen.")
	}
	d, ok := b.delivery(i)
	if !ok {
		return d, bullpen.Errorf(bullpen.Invalid, "The four instants of rep %d are not all known; mark drive, plant, top and release in the film room.", b.Reps[i].Order)
	}
	return d, nil
}

func (b Bullpen) typicalOff() (Delivery, error) {
	group := []Delivery{}
	if s, ok := b.foremost(); ok {
		group = b.Deliveries(s.Pitch, s.Drill)
	}
	if len(group) == 0 {
		for _, d := range b.OffDeliveries() {
			if g := b.Deliveries(d.Rep.Pitch, d.Rep.Drill); len(g) > len(group) {
				group = g
			}
		}
	}
	if len(group) == 0 {
		return Delivery{}, bullpen.Errorf(bullpen.Invalid, "A delivery sheet needs the four instants of one off-speed pitch; mark drive, plant, top and release on one in the film room, or have them found.")
	}
	return b.typical(group, group), nil
}

func (b Bullpen) typicalFast(off Delivery) (Delivery, error) {
	group := b.Deliveries(b.Baseline(), off.Rep.Drill)
	if len(group) == 0 {
		group = b.FastDeliveries()
	}
	if len(group) == 0 {
		name := string(b.Baseline())
		if t, ok := bullpen.TypeOf(b.Baseline()); ok {
			name = t.Name
		}
		return Delivery{}, bullpen.Errorf(bullpen.Invalid, "A delivery sheet needs the four instants of one %s; mark drive, plant, top and release on one in the film room.", name)
	}
	among := group
	for _, alike := range []func(Delivery) bool{
		func(d Delivery) bool { return d.Film.View == off.Film.View },
		func(d Delivery) bool { return d.Film.ID == off.Film.ID },
	} {
		if some := those(among, alike); len(some) > 0 {
			among = some
		}
	}
	return b.typical(group, among), nil
}

func those(from []Delivery, is func(Delivery) bool) (out []Delivery) {
	for _, d := range from {
		if is(d) {
			out = append(out, d)
		}
	}
	return out
}

// typical returns the one among some of a group that lies nearest the group's medians, by
// the logs of legs time, arm time and reading added up; of two alike the earlier. A rep
// without one of them stands behind those that have it.
func (b Bullpen) typical(group, among []Delivery) Delivery {
	measures := []func(Delivery) float64{
		func(d Delivery) float64 { return d.Before[0] - d.Before[1] },
		func(d Delivery) float64 { return d.Before[2] - d.Before[3] },
		func(d Delivery) float64 {
			if n, ok := b.Sheet.Rep(d.Rep.ID); ok && n.Speed != nil {
				return float64(*n.Speed)
			}
			return math.NaN()
		},
	}
	const unknown = 10 // as far as nothing that is known can be
	away := make([]float64, len(among))
	for _, measure := range measures {
		var logs []float64
		for _, d := range group {
			if v := math.Log(measure(d)); !math.IsNaN(v) && !math.IsInf(v, 0) {
				logs = append(logs, v)
			}
		}
		if len(logs) == 0 {
			continue
		}
		slices.Sort(logs)
		median := (logs[(len(logs)-1)/2] + logs[len(logs)/2]) / 2
		for i, d := range among {
			if v := math.Abs(math.Log(measure(d)) - median); v < unknown {
				away[i] += v
			} else {
				away[i] += unknown
			}
		}
	}
	best := 0
	for i := range among {
		if cmp.Compare(away[i], away[best]) < 0 {
			best = i
		}
	}
	return among[best]
}
