package server

import (
	"context"
	"fmt"
	"math"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/trace"
)

func (s *Server) bodyRoutes() {
	serve(s, answering(http.StatusAccepted, op("findInstants", http.MethodPost, "/api/bullpens/{id}/instants/find", "Find the four instants in every rep from those marked on a fastball, again")), s.findInstants)
	serve(s, op("getRemark", http.MethodGet, "/api/bullpens/{id}/remark", "Five reps with marks by hand, to be marked again without seeing them"), s.getRemark)
	serve(s, op("getEye", http.MethodGet, "/api/eye", "How closely the instructor marks an instant again"), s.getEye)
	serve(s, op("setEye", http.MethodPut, "/api/eye", "Measure how closely the instructor marks, from reps marked again"), s.setEye)
	serve(s, op("forgetEye", http.MethodDelete, "/api/eye", "Forget the measurement; the assumption counts again"), s.forgetEye)
	serve(s, answering(http.StatusOK, upTo(largeBody, op("acceptInstants", http.MethodPost, "/api/bullpens/{id}/instants/accept", "Make found instants marks"))), s.acceptInstants)
}

func (s *Server) findInstants(ctx context.Context, in *byID) (wire.Job, error) {
	job, err := s.deps.Proposer.SearchInstants(ctx, in.ID)
	return jobOf(job), err
}

func (s *Server) acceptInstants(ctx context.Context, in *to[wire.AcceptInstants]) (wire.Accepted, error) {
	got, err := s.deps.Proposer.Accept(ctx, in.ID, in.Body.FilmID, in.Body.RepIDs)
	return wire.Accepted(got), err
}

// bodyOf is what the sheet says about the body.
func bodyOf(b judged.Bullpen) wire.Body {
	out := wire.BodyOf(b.Body)
	out.Eye.Marks, out.Eye.Day = b.Eye.Marks, b.Eye.Day
	for _, f := range b.Followed {
		out.Films = append(out.Films, wire.FollowedFilm{FilmID: f.FilmID, Refusal: f.Refusal, Warning: warningOf(f)})
	}
	for _, r := range b.Reps {
		out.Found += propose.Acceptable(r, b.Found[r.ID])
		out.Marked = out.Marked || r.Pitch == b.Baseline() && r.Drive >= 0 && r.Plant >= 0 && r.Top >= 0 && r.Release >= 0
	}
	return out
}

func warningOf(f store.InstantSearch) string {
	if f.Doubled <= trace.Retimed {
		return ""
	}
	return fmt.Sprintf("%s of this film's frames are repeats: some program re-timed it. What was found still holds; the phone's original would be better.", bullpen.Percent(100*f.Doubled))
}

// repOf returns rep i of the bullpen as the API says it.
func repOf(b judged.Bullpen, i int) wire.Rep {
	r := b.Reps[i]
	out := wire.RepOf(r, b.Sheet.Reps[i])
	out.Fill = b.Fill(i)
	if r.FilmID == "" {
		return out
	}
	out.StillName = shelf.StillName(b.Pen, r)
	out.Body = wire.RepBodyOf(b.Body.Reps[i])
	for _, f := range b.Films {
		if f.ID != r.FilmID {
			continue
		}
		if found, ok := b.Found[r.ID]; ok {
			out.Found = foundOf(f.Clock, b.Cadences[f.ID], found)
			if a, ok := b.Accepted[r.ID]; ok {
				acceptedAt(out.Found, a)
			}
		}
		out.Seen = seenOf(b, r, f)
	}
	return out
}

func seenOf(b judged.Bullpen, r bullpen.Rep, f store.Film) *wire.SeenInstants {
	seen, ok := b.Seen[r.ID]
	if !ok {
		return nil
	}
	at := func(e bullpen.Event) *wire.SeenInstant {
		s := seen.At(e)
		if !s.Seen() {
			return nil
		}
		return &wire.SeenInstant{Frame: b.Cadences[f.ID].Frame(f.Clock, s.Seconds), Millis: math.Round(1000 * s.U), Beside: b.Beside(r, f, e)}
	}
	return &wire.SeenInstants{Plant: at(bullpen.Plant), Top: at(bullpen.Top), Release: at(bullpen.Release)}
}

// acceptedAt says of found instants which of them were made marks, and where.
func acceptedAt(out *wire.FoundInstants, a store.Accepted) {
	for _, m := range []struct {
		of *wire.FoundInstant
		at int
	}{{&out.Drive, a.Drive}, {&out.Plant, a.Plant}, {&out.Top, a.Top}} {
		if m.at >= 0 {
			m.of.Accepted = &m.at
		}
	}
}

func foundOf(c bullpen.Clock, k bullpen.Cadence, i store.Instants) *wire.FoundInstants {
	at := func(f store.FoundInstant, e bullpen.Event) wire.FoundInstant {
		out := wire.FoundInstant{Frame: k.Frame(c, f.Seconds), Seconds: f.Seconds, Match: f.Match}
		if f.Sure {
			out.Within = propose.Within(c, f.Seconds, tempo.FoundSpread(e))
		}
		return out
	}
	return &wire.FoundInstants{
		Drive: at(i.Drive, bullpen.Drive), Plant: at(i.Plant, bullpen.Plant), Top: at(i.Top, bullpen.Top), Release: at(i.Release, bullpen.Release),
		Match: i.Match,
	}
}
