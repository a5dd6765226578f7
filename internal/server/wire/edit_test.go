package wire

import (
	"encoding/json"
	"reflect"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
)

// A PATCH body tells a field that was left out from one that was cleared.
func TestRepEditOnto(t *testing.T) {
	was := bullpen.Rep{
		ID: "r", FilmID: "f", Drive: 3, Plant: 5, Top: 6, Release: 9, Order: 2, Pitch: bullpen.Fastball, Version: 4,
		Reading: &bullpen.Reading{Value: 55, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher}, Note: "high",
	}
	for _, c := range []struct {
		name, body string
		want       func(*bullpen.Rep)
	}{
		{"nothing", `{"version":4}`, func(*bullpen.Rep) {}},
		{"another version", `{"version":5}`, func(r *bullpen.Rep) { r.Version = 5 }},
		{"a mark taken away", `{"version":4,"drive":null}`, func(r *bullpen.Rep) { r.Drive = bullpen.Unmarked }},
		{"a mark moved to the first frame", `{"version":4,"drive":0}`, func(r *bullpen.Rep) { r.Drive = 0 }},
		{"the reading taken away", `{"version":4,"reading":null}`, func(r *bullpen.Rep) { r.Reading = nil }},
		{"another reading", `{"version":4,"reading":{"value":90.1,"unit":"km/h","step":0.1,"gun":"behind pitcher"}}`, func(r *bullpen.Rep) {
			r.Reading = &bullpen.Reading{Value: 90.1, Unit: bullpen.KMH, Step: 0.1, Gun: bullpen.BehindPitcher}
		}},
		{"off the film", `{"version":4,"filmId":null,"release":null}`, func(r *bullpen.Rep) { r.FilmID, r.Release = "", bullpen.Unmarked }},
		{"a note emptied", `{"version":4,"note":""}`, func(r *bullpen.Rep) { r.Note = "" }},
		{"another pitch and place", `{"version":4,"pitch":"ch","order":1,"call":"strike","warmUp":true}`, func(r *bullpen.Rep) {
			r.Pitch, r.Order, r.Call, r.WarmUp = bullpen.ChangeUp, 1, bullpen.Strike, true
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var e RepEdit
			if err := json.Unmarshal([]byte(c.body), &e); err != nil {
				t.Fatal(err)
			}
			got, want := was, was
			e.Onto(&got)
			c.want(&want)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestEditSaysWhatItWasTold(t *testing.T) {
	for _, c := range []struct {
		edit RepEdit
		want string
	}{
		{RepEdit{Version: 1}, `{"version":1}`},
		{RepEdit{Version: 1, Drive: Clear[int]()}, `{"version":1,"drive":null}`},
		{RepEdit{Version: 1, Drive: Set(0)}, `{"version":1,"drive":0}`},
	} {
		if got, err := json.Marshal(c.edit); err != nil || string(got) != c.want {
			t.Errorf("%s, %v; want %s", got, err, c.want)
		}
	}
}

// A rep that goes out and comes back in is the same.
func TestRepRoundTrip(t *testing.T) {
	want := bullpen.Rep{
		BullpenID: "b", FilmID: "f", Drive: 0, Plant: bullpen.Unmarked, Top: 7, Release: 9, Pitch: bullpen.Curve,
		Reading: &bullpen.Reading{Value: 48.5, Unit: bullpen.MPH, Step: 0.1, Gun: bullpen.BesidePitcher},
		Drill:   "wall", Set: 2, Number: 3, Call: bullpen.Ball, WarmUp: true, Note: "low",
	}
	out := RepOf(want, bullpen.RepNumbers{})
	text, err := json.Marshal(NewRep{
		FilmID: out.FilmID, Drive: out.Drive, Plant: out.Plant, Top: out.Top, Release: out.Release, Pitch: out.Pitch,
		Reading: out.Reading, Drill: out.Drill, Set: out.Set, Number: out.Number, Call: out.Call, WarmUp: out.WarmUp, Note: out.Note,
	})
	if err != nil {
		t.Fatal(err)
	}
	var in NewRep
	if err := json.Unmarshal(text, &in); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, in.Rep("b")); diff != "" {
		t.Error(diff)
	}
}

// Moving up a level takes its distance, ball and bands along, unless the distance
// was sent too.
func TestPitcherEditTakesTheLevelAlong(t *testing.T) {
	young, _ := bullpen.LevelOf("10U")
	older, _ := bullpen.LevelOf("14U")
	key, far := older.Key, 41.5
	for _, c := range []struct {
		name string
		edit PitcherEdit
		want float64
	}{
		{"level only", PitcherEdit{Version: 1, Level: &key}, older.DistanceFeet},
		{"level and distance", PitcherEdit{Version: 1, Level: &key, DistanceFeet: &far}, far},
		{"neither", PitcherEdit{Version: 1}, young.DistanceFeet},
	} {
		p := bullpen.NewPitcher("Wren", young)
		c.edit.Onto(&p, older)
		if p.DistanceFeet != c.want {
			t.Errorf("%s: %v ft, want %v", c.name, p.DistanceFeet, c.want)
		}
	}
}

func TestFilmOfSaysHowLongItPlays(t *testing.T) {
	f := bullpen.Film{Clock: bullpen.Clock{Num: 1, Den: 30, Ticks: []int64{5, 6, 7, 8, 9, 10}, Slow: 1}}
	if got := FilmOf(f); got.Frames != 6 || got.Rate != 30 || got.Seconds < 0.2-1e-12 || got.Seconds > 0.2+1e-12 {
		t.Errorf("%d frames, %v a second, %v s; want 6, 30, 0.2", got.Frames, got.Rate, got.Seconds)
	}
}

func TestSpeedOfSaysBothUnits(t *testing.T) {
	// 60 mph is 96.560 64 km/h exactly (NIST SP 811, appendix B.8).
	if got := SpeedOf(60); got.MPH != 60 || got.KMH != 96.56064 {
		t.Errorf("%+v", got)
	}
}

// What is written of a rep may be as long as it may be in a CSV.
func TestWhatIsWrittenIsAsLongEverywhere(t *testing.T) {
	for _, of := range []reflect.Type{reflect.TypeFor[NewRep](), reflect.TypeFor[RepEdit](), reflect.TypeFor[ReadingToDoubt](), reflect.TypeFor[WorkoutLine]()} {
		for name, most := range map[string]int{"Drill": bullpen.MostDrill, "Note": bullpen.MostNote} {
			if f, has := of.FieldByName(name); has && f.Tag.Get("maxLength") != strconv.Itoa(most) {
				t.Errorf("%s.%s: at most %q letters, want %d", of, name, f.Tag.Get("maxLength"), most)
			}
		}
	}
}

// What is said of one film counts for those that look alike, or for all.
func TestFilmEditOfOthers(t *testing.T) {
	of := bullpen.Film{FoundSlow: 4, Clock: bullpen.Clock{Slow: 1}}
	other := func(known bool, looks float64) bullpen.Film {
		return bullpen.Film{SlowKnown: known, FoundSlow: looks, Clock: bullpen.Clock{Slow: 1}, View: bullpen.ViewSide}
	}
	slow, view := 4.0, bullpen.ViewBehind
	for _, c := range []struct {
		name  string
		said  FilmEdit
		film  bullpen.Film
		slow  float64
		view  bullpen.View
		known bool
	}{
		{"looks as slow", FilmEdit{Slow: &slow, View: &view, Alike: true}, other(false, 4), 4, bullpen.ViewSide, true},
		{"looks as filmed", FilmEdit{Slow: &slow, Alike: true}, other(false, 1), 1, bullpen.ViewSide, false},
		{"somebody said", FilmEdit{Slow: &slow, Alike: true}, other(true, 4), 1, bullpen.ViewSide, true},
		{"all", FilmEdit{Slow: &slow, View: &view, All: true}, other(true, 1), 4, bullpen.ViewBehind, true},
		{"this one only", FilmEdit{Slow: &slow, View: &view}, other(false, 4), 1, bullpen.ViewSide, false},
	} {
		f := c.film
		changed := c.said.Others(&f, of)
		if f.Clock.Slow != c.slow || f.View != c.view || f.SlowKnown != c.known {
			t.Errorf("%s: %g times slower (known: %v), from %s", c.name, f.Clock.Slow, f.SlowKnown, f.View)
		}
		if want := c.slow != 1 || c.view != bullpen.ViewSide; changed != want {
			t.Errorf("%s: changed %v", c.name, changed)
		}
	}
}
