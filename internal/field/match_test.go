package field

import (
	"fmt"
	"slices"
	"testing"

	"tenoff/internal/bullpen"
)

// thrown is when the reps of a bullpen were thrown, seconds from the film's beginning; the
// entries are typed 4 s later.
var thrown = []float64{12, 31, 55, 71, 98, 115, 139, 160, 176, 204, 231, 249}

// began is when the film was begun, seconds on the phone's clock.
const began = 1_790_000_000

func entriesAt(times ...float64) []bullpen.FieldEntry {
	out := make([]bullpen.FieldEntry, len(times))
	for i, t := range times {
		out[i] = bullpen.FieldEntry{ID: fmt.Sprint("entry", i), At: int64(1e6 * (began + t + 4))}
	}
	return out
}

// oneFilm is a film of 265 s with all throws on it.
func oneFilm(recorded float64) []shot {
	s := shot{id: "film", recorded: recorded, seconds: 265, times: thrown}
	for i := range thrown {
		s.throws = append(s.throws, Throw{RepID: fmt.Sprint("rep", i), FilmID: "film"})
	}
	return []shot{s}
}

// eachAlone is a film for every throw, from 5 s before it to 3 s after.
func eachAlone(noted float64) []shot {
	var out []shot
	for i, t := range thrown {
		id := fmt.Sprint("film", i)
		s := shot{id: id, seconds: 8, times: []float64{5}, throws: []Throw{{RepID: fmt.Sprint("rep", i), FilmID: id}}}
		if noted >= 0 {
			s.recorded = began + t - 5 + noted
		}
		out = append(out, s)
	}
	return out
}

func TestMatch(t *testing.T) {
	missed := slices.Delete(slices.Clone(thrown), 3, 4)
	want := []int{0, 1, 2, 4, 5, 6, 7, 8, 9, 10, 11}
	for _, c := range []struct {
		what    string
		entries []float64
		shots   []shot
		sure    bool
		want    []int // nil: no way at all
		why     string
	}{
		{"the film notes when it began", missed, oneFilm(began), true, want, ""},
		{"the film notes when it ended", missed, oneFilm(began + 265), true, want, ""},
		{"clocks 4 s apart", missed, oneFilm(began - 4), true, want, ""},
		{"the film notes nothing", missed, oneFilm(0), true, want, ""},
		{"the film's clock is an hour off", missed, oneFilm(began + 3600), false, want, whyClock},
		{"a film for each, noting when it began", missed, eachAlone(0), true, want, ""},
		{"a film for each, noting when it ended", missed, eachAlone(8), true, want, ""},
		{"a film for each that notes nothing, one missed", missed, eachAlone(-1), false, nil, whyCounts},
		{"a film for each that notes nothing", thrown, eachAlone(-1), false, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}, whyUntimed},
		{"a film for each, an hour off", thrown, eachAlone(3600), false, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}, whyClocks},
		{"a film for each, an hour off, one missed", missed, eachAlone(3600), false, nil, whyOther},
		{"another day", []float64{90000, 90020}, oneFilm(began), false, []int{0, 1}, whyClock},
	} {
		m := match(entriesAt(c.entries...), c.shots)
		if m.Sure != c.sure || m.Why != c.why || (c.want == nil) != (len(m.Ways) == 0) {
			t.Errorf("%s: sure %v, %d ways, %q", c.what, m.Sure, len(m.Ways), m.Why)
			continue
		}
		if len(m.Ways) > 0 && len(c.want) > 2 && !slices.Equal(m.Ways[0].Throws, c.want) {
			t.Errorf("%s: %v", c.what, m.Ways[0].Throws)
		}
	}
}

// Throws as even as a clock's are asked about, whatever is likeliest.
func TestEvenThrowsAreAsked(t *testing.T) {
	var even []float64
	for i := range 12 {
		even = append(even, 20*float64(i))
	}
	shots := oneFilm(0)
	shots[0].times = even
	m := match(entriesAt(even[1:]...), shots)
	if m.Sure || len(m.Ways) < 2 || slices.Equal(m.Ways[0].Throws, m.Ways[1].Throws) {
		t.Errorf("sure %v, %+v", m.Sure, m.Ways)
	}
}

func TestNothingToMatch(t *testing.T) {
	if m := match(nil, oneFilm(0)); m.Sure || len(m.Ways) > 0 {
		t.Errorf("%+v", m)
	}
	if m := match(entriesAt(1), nil); m.Sure || len(m.Ways) > 0 {
		t.Errorf("%+v", m)
	}
}

func TestSaid(t *testing.T) {
	joins, rep := Line{Fate: Joins}, bullpen.Rep{Pitch: bullpen.Fastball}
	for want, l := range map[string]Outcome{
		"14 readings from the field found their reps; one throw has no reading (throw 9 on the film); one reading has no throw.": {
			Lines: append(slices.Repeat([]Line{joins}, 14), Line{Fate: NoThrow}), Unread: []Unread{{Place: 9}},
		},
		"One reading from the field found its rep.":                                                              {Lines: []Line{joins, {Fate: IsJoined}}},
		"No reading from the field found a rep; two readings have no throw.":                                     {Lines: []Line{{Fate: NoThrow}, {Fate: NoThrow}}},
		"Two readings from the field found their reps; two throws have no reading (throws 3 and 4 on the film).": {Lines: []Line{joins, {Fate: Stays}}, Unread: []Unread{{Place: 3}, {Place: 4}}},
		"One reading from the field found its rep. One rep, logged as a fastball without a reading, takes the pitch typed at the fence.": {
			Lines: []Line{{Fate: Joins, Rep: &rep, Entry: bullpen.FieldEntry{Pitch: bullpen.ChangeUp}}},
		},
		"Two readings from the field have no throw.": {Lines: []Line{{Fate: IsJoined}, {Fate: NoThrow}, {Fate: NoThrow}}, Unread: []Unread{{Place: 3}}},
		"One reading from the field found its rep. One rep is logged as another pitch than was typed at the fence: look at it before it joins.": {Lines: []Line{{Fate: Differs}}},
	} {
		if got := l.said(); got != want {
			t.Errorf("said %q, want %q", got, want)
		}
	}
}
