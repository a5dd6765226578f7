package bullpen

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

func TestDoubt(t *testing.T) {
	mph := func(v float64) Reading { return Reading{Value: v, Unit: MPH, Step: 1} }
	kmh := func(v float64) Reading { return Reading{Value: v, Unit: KMH, Step: 1} }
	all := func(vs ...float64) (rs []Reading) {
		for _, v := range vs {
			rs = append(rs, mph(v))
		}
		return rs
	}
	for _, c := range []struct {
		name   string
		r      Reading
		others []Reading
		want   string
	}{
		{"lowest", mph(15), nil, ""},
		{"highest", mph(90), nil, ""},
		{"too low", mph(14.9), nil, "Sure about 14.9 mph? It lies outside 15 to 90 mph."},
		{"too high", mph(91), nil, "Sure about 91 mph? It lies outside 15 to 90 mph."},
		{"km/h", kmh(96), nil, ""},
		{"too high in km/h", kmh(150), nil, "Sure about 150 km/h? It lies outside 24 to 145 km/h."},
		{"no speed", mph(-3), nil, "Sure about -3 mph? No ball has that speed."},
		{"swapped digits", mph(74), all(47, 46, 48, 47), "Sure about 74 mph? The 4 others like it read 46 to 48 mph."},
		{"two others show no spread", mph(74), all(47, 46), ""},
		{"four deviations", mph(51), all(46, 47, 48), ""},
		{"more than four", mph(51.1), all(46, 47, 48), "Sure about 51.1 mph?"},
		{"no spread counts as one step", mph(51), all(47, 47, 47), ""},
		{"more than four steps", mph(52), all(47, 47, 47), "Sure about 52 mph? The 3 others like it read 47 mph."},
		{"tenths", Reading{Value: 47.5, Unit: MPH, Step: 0.1}, all(47, 47, 47), "Sure about 47.5 mph? The 3 others like it read 47.0 mph."},
		{"km/h typed as mph", mph(76), all(47, 46, 48, 47, 45), "Sure about 76 mph?"},
		{"others in km/h", mph(47), []Reading{kmh(75), kmh(76), kmh(77)}, ""},
		{"impossible others are not counted", mph(74), all(47, 46, 0, -1), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Doubt(c.r, c.others)
			if (got == "") != (c.want == "") || !strings.HasPrefix(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// Doubts asks of each what Doubt asks of it given the others.
func TestDoubtsAreThoseOfEachAmongTheOthers(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for round := range 200 {
		all := make([]Reading, random.IntN(9))
		for i := range all {
			all[i] = Reading{Value: 46 + float64(random.IntN(3)), Unit: MPH, Step: 1}
			switch random.IntN(6) {
			case 0:
				all[i] = Reading{Value: 74, Unit: MPH, Step: 1}
			case 1:
				all[i] = Reading{Value: 75.5, Unit: KMH, Step: 0.1}
			case 2:
				all[i].Value = float64(random.IntN(3) - 1) // no ball has that speed, or almost
			}
		}
		for i, got := range Doubts(all) {
			others := slices.Delete(slices.Clone(all), i, i+1)
			if want := Doubt(all[i], others); got != want {
				t.Fatalf("round %d, %v among %v: %q, want %q", round, all[i], others, got, want)
			}
		}
	}
}

// A doubted reading is still judged: asking is not refusing.
func TestDoubtRefusesNothing(t *testing.T) {
	sheet := Judge(kim(), pen, nil, thrownReps(t, "fb60 fb61 fb60 fb59 ch50 ch51 ch50 ch95 wch12"))
	n := sheet.Reps[7]
	if n.Doubt == "" || n.Gap == nil || n.Verdict != TooFirm {
		t.Errorf("doubt %q, gap %v, verdict %q", n.Doubt, n.Gap, n.Verdict)
	}
	for _, i := range []int{0, 1, 2, 3, 4, 5, 6} {
		if sheet.Reps[i].Doubt != "" {
			t.Errorf("rep %d: %s", i+1, sheet.Reps[i].Doubt)
		}
	}
	if sheet.Reps[8].Doubt == "" {
		t.Error("12 mph in the warm-up is not asked about")
	}
}
