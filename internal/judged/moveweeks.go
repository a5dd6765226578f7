package judged

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"sync"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
)

// mostMoveWeeks is how many bullpens how she moves is followed over at most, the latest.
const mostMoveWeeks = 16

// MovesOver follows how she moves on a pitch over her bullpens that were filmed from one
// place, that from which most were: from another one, another shadow of her is seen.
type MovesOver struct {
	Pitch     bullpen.Pitch
	View      bullpen.View
	Weeks     []MovesWeek // the latest first
	Kinds     []posture.Kind
	Elsewhere int // bullpens in which the pitch was filmed from elsewhere
}

// MovesWeek is one bullpen of MovesOver.
type MovesWeek struct {
	BullpenID, Day string
	Moves
}

// MovesOverWeeks follows every off-speed pitch of p that was compared in two bullpens.
func (s *Bullpens) MovesOverWeeks(ctx context.Context, p bullpen.Pitcher) ([]MovesOver, error) {
	cards, err := s.store.AllBullpens(ctx, p.ID)
	if err != nil {
		return nil, err
	}
	eye, err := EyeOf(ctx, s.store)
	if err != nil {
		return nil, err
	}
	weeks := map[bullpen.Pitch][]MovesWeek{}
	seen := 0
	for _, c := range cards {
		if c.Films == 0 || seen == mostMoveWeeks {
			continue
		}
		of := movesOf{c.ID, c.Revision, p.BaselinePitch, p.Hand, eye.Seconds}
		moves, known := s.moves.look(of)
		if !known {
			if moves, err = s.movesIn(ctx, c.ID); err != nil {
				return nil, err
			}
			s.moves.keep(of, moves)
		}
		if len(moves) > 0 {
			seen++
		}
		for _, m := range moves {
			if len(m.Differences) > 0 {
				weeks[m.Pitch] = append(weeks[m.Pitch], MovesWeek{c.ID, c.Day, m})
			}
		}
	}
	var out []MovesOver
	for _, t := range bullpen.PitchTypes {
		if over := followMoves(weeks[t.Code]); len(over.Weeks) > 1 {
			out = append(out, over)
		}
	}
	return out, nil
}

// followMoves keeps those of a pitch's weeks that were filmed from the place from which
// most were; of two, from that of the latest. Where the phone stood for films of which
// nobody said it is one place within a bullpen, and another in each: what looks like her
// over the weeks would be the phone.
func followMoves(weeks []MovesWeek) MovesOver {
	type place struct {
		seenFrom
		bullpen string
	}
	placeOf := func(w MovesWeek) place {
		if w.at.view == bullpen.ViewUnknown {
			return place{w.at, w.BullpenID}
		}
		return place{seenFrom: w.at}
	}
	count := map[place]int{}
	for _, w := range weeks {
		count[placeOf(w)]++
	}
	var best place
	for _, w := range weeks { // the latest first
		if at := placeOf(w); count[at] > count[best] {
			best = at
		}
	}
	out := MovesOver{View: best.view}
	clear := map[posture.Kind]int{}
	for _, w := range weeks {
		if placeOf(w) != best {
			out.Elsewhere++
			continue
		}
		out.Pitch = w.Pitch
		out.Weeks = append(out.Weeks, w)
		for _, d := range w.Differences {
			n := 1
			if d.Clear {
				n = mostMoveWeeks + 1 // before any that never was
			}
			clear[d.Kind] += n
		}
	}
	for _, k := range posture.Kinds() {
		if clear[k] > 0 {
			out.Kinds = append(out.Kinds, k)
		}
	}
	slices.SortStableFunc(out.Kinds, func(a, b posture.Kind) int { return cmp.Compare(clear[b], clear[a]) })
	out.Kinds = out.Kinds[:min(len(out.Kinds), mostMoves)]
	return out
}

// movesIn compares one bullpen; nothing where she was not looked for in it.
func (s *Bullpens) movesIn(ctx context.Context, bullpenID string) ([]Moves, error) {
	had, err := s.store.JointsSeen(ctx, bullpenID)
	if err != nil || len(had) == 0 {
		return nil, err
	}
	b, err := s.Of(ctx, bullpenID)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil, nil // removed meanwhile
	}
	if err != nil {
		return nil, err
	}
	return b.Moves(s.Tracks(ctx))
}

// weekNames name measures over weeks, with their units.
var weekNames = map[posture.Kind]string{
	posture.LeanPlant: "trunk’s lean at plant, degrees", posture.LeanRelease: "trunk’s lean at release, degrees",
	posture.HipsOpen: "hips open earlier, ms", posture.HipSpeed: "hips’ speed forward, %", posture.Stride: "stride, %",
	posture.ArmSlot: "hand ahead of the hips at release, % of the trunk", posture.FrontKnee: "front knee at plant, degrees",
}

// MeasureName is what a measure is called over the weeks.
func MeasureName(k posture.Kind) string { return weekNames[k] }

// Cell says a week's difference of one measure, with its range of 95 %: "+6 (2 to 10)"; ""
// where it was not measured.
func (w MovesWeek) Cell(k posture.Kind) (said string, clear bool) {
	for _, d := range w.Differences {
		if d.Kind != k {
			continue
		}
		scale := scaleOf(d)
		lo, hi := d.By.Interval(0.95)
		return fmt.Sprintf("%s (%s to %s)", bullpen.Signed(scale*d.By.Value), plain(scale*lo), plain(scale*hi)), d.Clear
	}
	return "", false
}

// plain writes a whole number, a negative one with a minus.
func plain(v float64) string { return bullpen.Minus(whole(v + 0)) }

// movesKept keeps how she moved in bullpens, each as it was at a revision.
type movesKept struct {
	mu   sync.Mutex
	kept map[movesOf][]Moves
}

type movesOf struct {
	bullpen  string
	revision int64
	baseline bullpen.Pitch
	hand     string
	eye      float64
}

func (k *movesKept) look(of movesOf) ([]Moves, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	m, ok := k.kept[of]
	return m, ok
}

func (k *movesKept) keep(of movesOf, m []Moves) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.kept == nil || len(k.kept) >= keptSpreads {
		k.kept = map[movesOf][]Moves{}
	}
	k.kept[of] = m
}
