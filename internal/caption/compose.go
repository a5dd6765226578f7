package caption

import (
	"fmt"
	"time"

	"tenoff/internal/bullpen"
)

// dot stands between two things said in one row.
const dot = " · "

// Compose returns the cues of one rep in place (Whole, Left or Right), in order
// and without a gap or an overlap between the clip's start and its end: what was
// to come before the release, what came of it from the release on.
func Compose(f Facts, t Times, place Place) []Cue {
	after := f.after(place)
	spans := []Cue{
		{Start: 0, End: t.Release, Rows: f.before(place)},
		{Start: t.Release, End: t.End, Rows: after},
	}
	if t.Repeat > 0 {
		spans[1].End = t.Repeat
		slow := append([]Row(nil), after...)
		last := len(slow) - 1
		slow[last] = append(append(Row(nil), slow[last]...), Span{Join: dot, Text: "1/4 speed", Tone: Aside})
		spans = append(spans, Cue{Start: t.Repeat, End: t.End, Rows: slow})
	}
	var cues []Cue
	for _, c := range spans {
		if c.End > c.Start {
			c.Place = place
			cues = append(cues, c)
		}
	}
	return cues
}

// before says what is about to be thrown. Two reps beside each other are looked at
// after they were thrown: their halves say from the start what is known of the body,
// and have as many rows before the release as after it.
func (f Facts) before(place Place) []Row {
	who := Row{{Text: f.Pitcher, User: true}, {Join: dot, Text: f.pitchName()}}
	drill := Row{{Text: f.Drill, User: true}}
	which := Row{{Text: f.which()}}
	from := Row{{Text: f.baseline()}}
	if place == Whole {
		return shown(append([]Row{join(join(who, drill), which), from}, f.asides()...))
	}
	if f.Pitch == f.BaselinePitch {
		from = nil
	}
	rows := append([]Row{join(who, drill), join(which, from)}, f.body()...)
	return shown(append(rows, f.asides()...))
}

// after says what came of it.
func (f Facts) after(place Place) []Row {
	who := Row{{Text: f.Pitcher, User: true}, {Join: dot, Text: f.pitchName()}}
	number := Row{{Join: dot, Text: f.reading()}, {Join: dot, Text: f.gap()}}
	if f.Reading != nil {
		number[0].Join = " " // "Change-up 50 mph" is one thing
	}
	look := f.verdict()
	if look == nil && place != Whole {
		look = Row{{Text: f.which()}}
	}
	rows := append([]Row{append(who, number...), look}, f.body()...)
	return shown(append(rows, f.asides()...))
}

// body says how fast the body was and where the gap came from.
func (f Facts) body() []Row { return []Row{{{Text: f.Body}}, {{Text: f.Split}}} }

// asides is what stands below everything else the whole time.
func (f Facts) asides() []Row {
	return []Row{{{Text: f.Note, Tone: Aside, User: true}}}
}

func (f Facts) pitchName() string {
	name := string(f.Pitch)
	if t, ok := bullpen.TypeOf(f.Pitch); ok {
		name = t.Name
	}
	return capital(name)
}

// which names the rep as every page does, and where in a workout it stands: "rep 10 (set
// 2, no. 3)".
func (f Facts) which() string {
	place := bullpen.InSet(f.Set, f.Number)
	switch {
	case f.Order == 0:
		return place
	case place == "":
		return fmt.Sprintf("rep %d", f.Order)
	}
	return fmt.Sprintf("rep %d (%s)", f.Order, place)
}

func (f Facts) baseline() string {
	if f.Baseline == nil {
		return "no baseline yet"
	}
	name := "baseline"
	if t, ok := bullpen.TypeOf(f.BaselinePitch); ok {
		name = "her " + t.Name
	}
	return fmt.Sprintf("%s %s %s", name, bullpen.Tenths(f.Baseline.In(f.unit())), f.unit())
}

func (f Facts) reading() string {
	if f.Reading == nil {
		return "no reading"
	}
	v := bullpen.Tenths(f.Reading.Speed().In(f.unit()))
	if f.Reading.Unit == f.unit() {
		v = bullpen.Tenths(f.Reading.Value)
	}
	return v + " " + string(f.unit())
}

func (f Facts) gap() string {
	if f.Gap == nil {
		return ""
	}
	switch g := f.Gap.In(f.unit()); {
	case bullpen.Tenths(g) == "0":
		return "no gap"
	case g < 0:
		return f.EdgeOf.Shown(-g) + " over"
	default:
		return f.EdgeOf.Shown(g) + " under"
	}
}

// verdict is shape, words and colour; nothing while it is pending.
func (f Facts) verdict() Row {
	mark, ok := marks[f.Verdict]
	if !ok {
		return nil
	}
	return Row{{Text: mark.shape + " " + f.Verdict.Said(f.EdgeOf, f.SoFar), Tone: mark.tone}}
}

func (f Facts) unit() bullpen.Unit {
	if f.Unit == bullpen.KMH {
		return bullpen.KMH
	}
	return bullpen.MPH
}

// marks gives each verdict its shape. All of them are in every font of Fonts.
var marks = map[bullpen.Verdict]struct {
	shape string
	tone  Tone
}{
	bullpen.TooFirm: {"▲", Firm},
	bullpen.InBand:  {"●", In},
	bullpen.Soft:    {"▼", Soft},
	bullpen.TooSoft: {"■", TooSoft},
}

// ClockCues returns one cue for each frame of a clip that has frames frames,
// rate a second: the real seconds to release and from it, when a real second
// lasts 1/speed seconds of the clip.
func ClockCues(t Times, frames, rate int, speed float64) []Cue {
	form := "%+.2f s"
	if speed < 0.5 {
		form = "%+.3f s"
	}
	at := func(k int) time.Duration { return time.Duration(k) * time.Second / time.Duration(rate) }
	cues := make([]Cue, frames)
	for k := range cues {
		real := (at(k) - t.Release).Seconds() * speed
		text := bullpen.Minus(fmt.Sprintf(form, real))
		if at(k) == t.Release {
			text = "release"
		}
		cues[k] = Cue{Start: at(k), End: at(k + 1), Place: Clock, Rows: []Row{{{Text: text, Tone: Aside}}}}
	}
	return cues
}
