package caption

import (
	"fmt"
	"strings"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/texts"
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
		slow[last] = append(append(Row(nil), slow[last]...), Span{Join: dot, Text: f.Language.Say("caption.quarter"), Tone: Aside})
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
	drill := Row{{Text: f.Language.Given(f.Drill), User: true}}
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
	return texts.Capital(f.Language.Pitch(string(f.Pitch)))
}

// which names the rep as every page does, and where in a workout it stands: "rep 10 (set
// 2, no. 3)".
func (f Facts) which() string {
	place := f.place()
	switch {
	case f.Order == 0:
		return place
	case place == "":
		return f.Language.Say("caption.rep", texts.V{"order": f.Order})
	}
	return f.Language.Say("caption.repIn", texts.V{"order": f.Order, "place": place})
}

// place says where in a workout it stands: "set 2, no. 3"; "" where that is not said.
// The rep itself is called by its order in the bullpen, "rep 10", and nothing else is called
// a rep's number.
func (f Facts) place() string {
	where := texts.V{"set": f.Set, "number": f.Number}
	switch {
	case f.Set > 0 && f.Number > 0:
		return f.Language.Say("place.both", where)
	case f.Set > 0:
		return f.Language.Say("place.set", where)
	case f.Number > 0:
		return f.Language.Say("place.number", where)
	}
	return ""
}

func (f Facts) baseline() string {
	if f.Baseline == nil {
		return f.Language.Say("caption.noBaseline")
	}
	speed := fmt.Sprintf("%s %s", bullpen.Tenths(f.Baseline.In(f.unit())), f.unit())
	if _, ok := bullpen.TypeOf(f.BaselinePitch); !ok {
		return f.Language.Say("caption.baseline", texts.V{"speed": speed})
	}
	return f.Language.Say("caption.her", texts.V{"pitch": f.Language.Pitch(string(f.BaselinePitch)), "speed": speed})
}

func (f Facts) reading() string {
	if f.Reading == nil {
		return f.Language.Say("caption.noReading")
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
		return f.Language.Say("caption.noGap")
	case g < 0:
		return f.Language.Say("gap.over", texts.V{"gap": f.EdgeOf.Shown(-g)})
	default:
		return f.Language.Say("gap.under", texts.V{"gap": f.EdgeOf.Shown(g)})
	}
}

// edge says which verdict lies beyond the edge.
func (f Facts) edge(beyond texts.Key) string {
	if f.EdgeOf == bullpen.InBand {
		return f.Language.Say("verdict.edgeOfBand")
	}
	return f.Language.Say("verdict.edgeOf", texts.V{"other": f.Language.Say(beyond)})
}

// verdict is shape, words and colour; nothing while it is pending.
func (f Facts) verdict() Row {
	mark, ok := marks[f.Verdict]
	if !ok {
		return nil
	}
	words := []string{f.Language.Say(mark.name)}
	if edge, ok := marks[f.EdgeOf]; ok {
		words = append(words, f.edge(edge.name))
	}
	if f.SoFar {
		words = append(words, f.Language.Say("verdict.soFar"))
	}
	return Row{{Text: mark.shape + " " + strings.Join(words, ", "), Tone: mark.tone}}
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
	name  texts.Key
}{
	bullpen.TooFirm: {"▲", Firm, "verdict.tooFirm"},
	bullpen.InBand:  {"●", In, "verdict.inTheBand"},
	bullpen.Soft:    {"▼", Soft, "verdict.soft"},
	bullpen.TooSoft: {"■", TooSoft, "verdict.tooSoft"},
}

// ClockCues returns one cue for each frame of a clip that has frames frames,
// rate a second: the real seconds to release and from it, when a real second
// lasts 1/speed seconds of the clip.
func ClockCues(l texts.Language, t Times, frames, rate int, speed float64) []Cue {
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
			text = l.Say("instant.release")
		}
		cues[k] = Cue{Start: at(k), End: at(k + 1), Place: Clock, Rows: []Row{{{Text: text, Tone: Aside}}}}
	}
	return cues
}
