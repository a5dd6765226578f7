package server

import (
	"context"
	"fmt"
	"net/http"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

func (s *Server) pairRoutes() {
	serve(s, op("lookAtPair", http.MethodGet, "/api/pairs", "Two reps to look at side by side"), s.lookAtPair)
}

type lookAtPair struct {
	Off  string `query:"off" required:"true" maxLength:"64" doc:"the off-speed rep"`
	Fast string `query:"fast" maxLength:"64" doc:"the rep beside it; unless said, the baseline pitch nearest the baseline"`
}

// choicesFrom is how many of her latest bullpens other reps are offered from.
const choicesFrom = 6

func (s *Server) lookAtPair(ctx context.Context, in *lookAtPair) (wire.Pair, error) {
	off, err := s.deps.Store.Rep(ctx, in.Off)
	if err != nil {
		return wire.Pair{}, err
	}
	pens := pens{s.deps.Judged, map[string]judged.Bullpen{}}
	here, err := pens.of(ctx, off.BullpenID)
	if err != nil {
		return wire.Pair{}, err
	}
	var fast bullpen.Rep
	if in.Fast != "" {
		fast, err = s.deps.Store.Rep(ctx, in.Fast)
	} else {
		fast, err = here.Partner(off)
	}
	if err != nil {
		return wire.Pair{}, err
	}
	there, err := pens.of(ctx, fast.BullpenID)
	if err != nil {
		return wire.Pair{}, err
	}
	out := wire.Pair{Phases: []wire.PairPhase{}, OffChoices: []wire.PairChoice{}, FastChoices: []wire.PairChoice{}}
	if out.Off, err = s.pairSide(ctx, here, off); err != nil {
		return wire.Pair{}, err
	}
	if out.Fast, err = s.pairSide(ctx, there, fast); err != nil {
		return wire.Pair{}, err
	}
	comparePhases(&out, here, off, there, fast)
	return out, s.offer(ctx, pens, here.Pitcher, &out)
}

// offer lists the reps of her latest bullpens that can stand on either side.
func (s *Server) offer(ctx context.Context, pens pens, her bullpen.Pitcher, out *wire.Pair) error {
	cards, _, err := s.deps.Store.Bullpens(ctx, her.ID, store.Page{Limit: choicesFrom})
	if err != nil {
		return err
	}
	for _, c := range cards {
		b, err := pens.of(ctx, c.ID)
		if err != nil {
			return err
		}
		for _, r := range b.Reps {
			if _, ok := showable(b, r); !ok {
				continue
			}
			choice := wire.PairChoice{RepID: r.ID, Label: label(b, r)}
			if r.Pitch == her.BaselinePitch {
				out.FastChoices = append(out.FastChoices, choice)
			} else {
				out.OffChoices = append(out.OffChoices, choice)
			}
		}
	}
	return nil
}

// pens judges each bullpen once.
type pens struct {
	judged *judged.Bullpens
	known  map[string]judged.Bullpen
}

func (p pens) of(ctx context.Context, id string) (judged.Bullpen, error) {
	if b, ok := p.known[id]; ok {
		return b, nil
	}
	b, err := p.judged.Of(ctx, id)
	if err == nil {
		p.known[id] = b
	}
	return b, err
}

// showable returns the film of a rep whose release is marked on one that can be
// played.
func showable(b judged.Bullpen, r bullpen.Rep) (store.Film, bool) {
	for _, f := range b.Films {
		if f.ID == r.FilmID {
			return f, f.State == bullpen.FilmReady && r.Release >= 0
		}
	}
	return store.Film{}, false
}

func label(b judged.Bullpen, r bullpen.Rep) string {
	text := fmt.Sprintf("%d. %s", r.Order, wire.PitchName(r.Pitch))
	if r.Reading != nil {
		text += fmt.Sprintf(", %v %s", r.Reading.Value, r.Reading.Unit)
	}
	if r.Drill != "" {
		text += ", " + r.Drill
	}
	return text + " (" + bullpen.DayText(b.Pen.Day) + ")"
}

func (s *Server) pairSide(ctx context.Context, b judged.Bullpen, r bullpen.Rep) (wire.PairSide, error) {
	f, ok := showable(b, r)
	if !ok {
		return wire.PairSide{}, bullpen.Errorf(bullpen.Invalid, "Rep %d has no release marked on a film that can be played; mark it in the film room.", r.Order)
	}
	pace, _ := b.Body.Rep(r.ID)
	i := slices.IndexFunc(b.Reps, func(other bullpen.Rep) bool { return other.ID == r.ID })
	if i < 0 {
		return wire.PairSide{}, bullpen.Errorf(bullpen.NotFound, "That rep is no longer in this bullpen.")
	}
	return wire.PairSide{
		Rep: repOf(b, i), Film: s.filmOf(ctx, f, nil), Day: b.Pen.Day,
		Instants: pairInstants(pace.Moments, f.Clock, b.Cadences[f.ID]), Motion: s.motionRound(ctx, f, r),
	}, nil
}

// pairInstants puts a rep's instants on the clock of its release.
func pairInstants(m tempo.Moments, c bullpen.Clock, k bullpen.Cadence) wire.PairInstants {
	if m.Release == nil {
		return wire.PairInstants{}
	}
	at := func(i *tempo.Moment) *wire.PairInstant {
		if i == nil {
			return nil
		}
		return &wire.PairInstant{Seconds: i.Seconds - m.Release.Seconds, U: i.U, Frame: k.Frame(c, i.Seconds), From: i.From}
	}
	return wire.PairInstants{Drive: at(m.Drive), Plant: at(m.Plant), Top: at(m.Top), Release: at(m.Release)}
}

// comparePhases says how the two deliveries' times differ.
func comparePhases(out *wire.Pair, here judged.Bullpen, off bullpen.Rep, there judged.Bullpen, fast bullpen.Rep) {
	a, _ := here.Body.Rep(off.ID)
	b, _ := there.Body.Rep(fast.ID)
	phases := tempo.Phases(a, b)
	for _, p := range phases {
		offShown, fastShown, shown := p.Whole()
		out.Phases = append(out.Phases, wire.PairPhase{
			From: string(p.From), To: string(p.To), OffMillis: 1000 * p.Off, FastMillis: 1000 * p.Fast,
			Difference: 1000 * p.Difference(), U: 1000 * p.U, Clear: p.Clear(), Said: p.Said(),
			OffShown: offShown, FastShown: fastShown, Shown: shown, Signed: bullpen.Signed(float64(shown)), Words: p.String(),
		})
	}
	out.Sentence = tempo.PhaseWords(phases)
	if times, ok := tempo.Stretch(phases); ok {
		out.Stretch = &times
	}
}

// motionRound returns how much moved round a rep's release; nothing when the film's
// motion can't be read, which is no reason not to show the pictures.
func (s *Server) motionRound(ctx context.Context, f store.Film, r bullpen.Rep) wire.PairMotion {
	out := wire.PairMotion{From: tempo.RoundFrom, Step: tempo.RoundStep, Values: []float32{}}
	values, err := s.deps.Proposer.Round(ctx, f, r)
	if err != nil {
		s.log.WarnContext(ctx, "motion can't be read", "film", f.ID, "err", err)
		return out
	}
	out.Values = append(out.Values, values...)
	return out
}
