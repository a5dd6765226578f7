package ledger

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// reps returns n reps that alternate fastball and change-up, last first, to show
// that their order of throwing counts.
func reps(n int) []bullpen.Rep {
	var all []bullpen.Rep
	for i := n; i >= 1; i-- {
		p := bullpen.Fastball
		if i%2 == 0 {
			p = bullpen.ChangeUp
		}
		all = append(all, bullpen.Rep{ID: fmt.Sprint("r", i), Order: i, Pitch: p, Release: bullpen.Unmarked})
	}
	return all
}

// drawn draws a preview: reading/rep for each pair, _ for what is missing.
func drawn(p Preview) string {
	var out []string
	for _, pair := range p.Pairs {
		entry, rep := "_", "_"
		if pair.Entry != nil {
			entry = pair.Entry.Text
		}
		if pair.Rep != nil {
			rep = pair.Rep.ID
		}
		out = append(out, entry+"/"+rep)
	}
	return strings.Join(out, " ")
}

func TestMatch(t *testing.T) {
	for _, c := range []struct {
		name, text           string
		reps, shift          int
		want                 string
		matched, over, short int
	}{
		{"even", "55 47 56", 3, 0, "55/r1 47/r2 56/r3", 3, 0, 0},
		{"more readings", "55 47 56 46", 3, 0, "55/r1 47/r2 56/r3 46/_", 3, 1, 0},
		{"fewer readings", "55 47", 3, 0, "55/r1 47/r2 _/r3", 2, 0, 1},
		{"later", "55 47", 3, 1, "_/r1 55/r2 47/r3", 2, 0, 1},
		{"later, and over", "55 47 56", 3, 1, "_/r1 55/r2 47/r3 56/_", 2, 1, 1},
		{"earlier", "55 47 56", 3, -1, "55/_ 47/r1 56/r2 _/r3", 2, 1, 1},
		{"far later", "55", 2, 9, "_/r1 _/r2 55/_", 0, 1, 2},
		{"far earlier", "55", 2, -9, "55/_ _/r1 _/r2", 0, 1, 2},
		{"no reps", "55 47", 0, 0, "55/_ 47/_", 0, 2, 0},
		{"no readings", "", 2, 0, "_/r1 _/r2", 0, 0, 2},
		{"a held place", "55 - 56", 3, 0, "55/r1 -/r2 56/r3", 3, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			entries, err := ParseReadings(c.text, defaults)
			if err != nil {
				t.Fatal(err)
			}
			p := Match(entries, reps(c.reps), c.shift)
			if got := drawn(p); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
			if p.Matched != c.matched || p.Over != c.over || p.Missing != c.short {
				t.Errorf("matched %d, over %d, missing %d; want %d, %d, %d", p.Matched, p.Over, p.Missing, c.matched, c.over, c.short)
			}
		})
	}
}

// A run begins where it replaces no reading; the reps are r read, - not read, w a warm-up
// that was not.
func TestFree(t *testing.T) {
	for _, c := range []struct {
		reps, text string
		want       int
		kept       int
	}{
		{"", "55", 0, 0},
		{"---", "55 46", 0, 0},
		{"ww--", "55 46", 0, 0},
		{"rrrrrrrrrr", "55 46", 10, 10},
		{"rr--", "55 46", 2, 2},
		{"rr-", "55 46", 2, 2},
		{"rr-rr", "55", 2, 4},
		{"rr-rr", "55 46", 5, 4},
		{"wwrr", "55 46", 4, 2},
		{"wwrr--", "55", 4, 2},
	} {
		t.Run(c.reps+" "+c.text, func(t *testing.T) {
			entries, err := ParseReadings(c.text, defaults)
			if err != nil {
				t.Fatal(err)
			}
			on := reps(len(c.reps))
			for i, r := range c.reps {
				on[i].Order, on[i].Reading, on[i].WarmUp = i+1, nil, r == 'w'
				if r == 'r' {
					on[i].Reading = &bullpen.Reading{Value: 50, Unit: bullpen.MPH}
				}
			}
			got := Free(entries, on)
			if p := Match(entries, on, got); got != c.want || p.Replace != 0 || p.Kept != c.kept {
				t.Errorf("shift %d, want %d; %d replaced, %d kept", got, c.want, p.Replace, p.Kept)
			}
			if p := Match(entries, on, 0); strings.HasPrefix(c.reps, "rr") && p.Replace != min(2, len(entries)) {
				t.Errorf("on the first reps %d replaced", p.Replace)
			}
		})
	}
}

// Each reading after the last rep gets a rep of its own, when asked for; those that a
// shift leaves out get none.
func TestLogBehind(t *testing.T) {
	type rep struct {
		pitch, drill string
		set, number  int
		reading      float64 // 0: not read
		warmUp       bool
	}
	snaps := []bullpen.Place{
		{Set: 1, Number: 3, Drill: "Wrist snap", Pitch: bullpen.ChangeUp}, {Set: 2, Number: 1, Pitch: bullpen.ChangeUp},
		{Set: 2, Number: 2, Pitch: bullpen.ChangeUp}, {Pitch: bullpen.Fastball},
	}
	last := bullpen.Rep{Order: 2, Drill: "K drill", Set: 2, Number: 4}
	for _, c := range []struct {
		name, text string
		reps       int
		shift      int
		before     bullpen.Rep
		ahead      []bullpen.Place
		want       []rep
		left       int
	}{
		{name: "only a gun", text: "55 47 ch - 46 c", want: []rep{{"fb", "", 0, 0, 55, false}, {"ch", "", 0, 0, 47, false}, {"fb", "", 0, 0, 0, false}, {"ch", "", 0, 0, 46, false}}},
		{name: "as many", text: "55 47", reps: 2, before: last},
		{name: "two more", text: "55 47 56 46 ch", reps: 2, before: last, want: []rep{{"fb", "K drill", 2, 5, 56, false}, {"ch", "K drill", 2, 6, 46, false}}},
		{name: "along a workout", text: "55 47 56", reps: 2, before: bullpen.Rep{Drill: "K drill", Set: 2, Number: 4, WarmUp: true}, ahead: snaps[:1], want: []rep{{"fb", "", 0, 0, 56, true}}},
		{name: "what a workout says", text: "55 47 56 46 fb 30 31", reps: 2, before: bullpen.Rep{Drill: "K drill", Set: 2, Number: 4}, ahead: snaps,
			want: []rep{{"ch", "Wrist snap", 1, 3, 56, false}, {"fb", "", 2, 1, 46, false}, {"ch", "", 2, 2, 30, false}, {"fb", "", 0, 0, 31, false}}},
		{name: "a CSV along a workout", text: "reading,pitch,drill,set,rep,warm-up\n30,,,,,yes\n41,,wall,,,\n55,fb,,,9,\n", ahead: snaps[:3],
			want: []rep{{"fb", "", 0, 0, 30, true}, {"ch", "wall", 1, 3, 41, false}, {"fb", "", 2, 9, 55, false}}},
		{name: "left out in front", text: "55 47 56 46", reps: 2, shift: -1, want: []rep{{"fb", "", 0, 0, 46, false}}, left: 1},
		{name: "left out of none", text: "55 47", shift: -1, want: []rep{{"fb", "", 0, 0, 47, false}}, left: 1},
		{name: "a CSV says it all", text: "reading,pitch,drill,set,rep,warm-up\n55,fb,,1,1,yes\n41,ch,wall,2,1,\n", before: last,
			want: []rep{{"fb", "", 1, 1, 55, true}, {"ch", "wall", 2, 1, 41, false}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			whole := defaults
			whole.Whole = true
			entries, err := ParseReadings(c.text, whole)
			if err != nil {
				t.Fatal(err)
			}
			p := Match(entries, reps(c.reps), c.shift)
			if p.Behind != len(c.want) {
				t.Errorf("%d behind, want %d", p.Behind, len(c.want))
			}
			p.LogBehind(c.before, c.ahead)
			var got []rep
			for _, pair := range p.Pairs {
				if r := pair.New; r != nil {
					one := rep{pitch: string(r.Pitch), drill: r.Drill, set: r.Set, number: r.Number, warmUp: r.WarmUp}
					if r.Reading != nil {
						one.reading = r.Reading.Value
					}
					got = append(got, one)
				}
			}
			if !slices.Equal(got, c.want) || p.New != len(c.want) || p.Over != c.left || p.Behind != 0 {
				t.Errorf("%+v, want %+v; new %d, over %d", got, c.want, p.New, p.Over)
			}
		})
	}
	bad := "reading,call\n55,wild\n"
	if _, err := ParseReadings(bad, defaults); err != nil {
		t.Errorf("a column that is not asked for is read: %v", err)
	}
	for _, text := range []string{bad, "reading,note\n55," + strings.Repeat("a", bullpen.MostNote+1) + "\n"} {
		_, err := ParseReadings(text, Defaults{Unit: bullpen.MPH, Step: 1, Whole: true})
		if bullpen.CodeOf(err) != bullpen.Invalid || !strings.Contains(bullpen.MessageOf(err), "Line 2") {
			t.Errorf("%v", err)
		}
	}
}

// What a preview costs grows with the readings, not with their square.
func TestMatchIsLinear(t *testing.T) {
	cost := func(n int) float64 {
		entries, err := ParseReadings(strings.Repeat("55 ", n), defaults)
		if err != nil {
			t.Fatal(err)
		}
		all := reps(n / 2) // the other half is logged behind them
		ahead := make([]bullpen.Place, n-len(all))
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		p := Match(entries, all, 0)
		p.LogBehind(bullpen.Rep{}, ahead)
		p.Ask(bullpen.Bullpen{}, all)
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	if few, many := cost(500), cost(2000); many > 8*few {
		t.Errorf("four times the readings allocate %.1f times as much", many/few)
	}
	_, err := ParseReadings(strings.Repeat("5 ", MostEntries+1), defaults)
	if bullpen.CodeOf(err) != bullpen.Invalid || !strings.Contains(bullpen.MessageOf(err), "10001 readings") {
		t.Errorf("%v", err)
	}
}

func TestMatchShowsWhatDoesNotFit(t *testing.T) {
	entries, err := ParseReadings("55 fb 47 ch 56 fb 46 ch 54 fb 74 ch 55 fb 47 ch", defaults)
	if err != nil {
		t.Fatal(err)
	}
	preview := Match(entries, reps(8), 0)
	preview.Ask(bullpen.Bullpen{}, reps(8))
	for i, pair := range preview.Pairs {
		if pair.OtherPitch {
			t.Errorf("pair %d: typed and logged pitch are said to differ", i)
		}
		if asked := pair.Doubt.Meant != nil && pair.Doubt.Meant.Value == 47; asked != (pair.Entry.Text == "74 ch") {
			t.Errorf("pair %d, %s: doubt %+v", i, pair.Entry.Text, pair.Doubt)
		}
	}
	for i, pair := range Match(entries, reps(8), 1).Pairs {
		if both := pair.Entry != nil && pair.Rep != nil; pair.OtherPitch != both {
			t.Errorf("shifted by one, pair %d: other pitch %v", i, pair.OtherPitch)
		}
	}
}
