package server

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/intake"
	"tenoff/internal/server/wire"
)

func (s *Server) removalRoutes() {
	serve(s, op("wouldRemovePitcher", http.MethodGet, "/api/pitchers/{id}/removal", "What deleting a pitcher would take away"), s.would("pitcher"))
	serve(s, op("wouldRemoveBullpen", http.MethodGet, "/api/bullpens/{id}/removal", "What deleting a bullpen would take away"), s.would("bullpen"))
}

// would counts what a deletion would take away, uploads under way too.
func (s *Server) would(what string) func(context.Context, *byID) (wire.Removed, error) {
	return func(ctx context.Context, in *byID) (wire.Removed, error) {
		r, err := s.deps.Intake.Would(ctx, what, in.ID)
		if err != nil {
			return wire.Removed{}, err
		}
		return s.withUploads(ctx, r)
	}
}

// withUploads adds the uploads under way to what is counted, and what confirms it.
func (s *Server) withUploads(ctx context.Context, r intake.Removed) (wire.Removed, error) {
	n, bytes, err := s.deps.Homework.Count(ctx, r.HomeworkIDs...)
	out := removedOf(r)
	out.Uploads, out.Bytes = n, out.Bytes+bytes
	out.Confirm = confirmation(out)
	return out, err
}

// confirmation names what was counted, so that a deletion takes no more than
// somebody has seen.
func confirmation(r wire.Removed) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%d %d %d %d %d %d %d %d %d %d", r.Bullpens, r.Films, r.Reps, r.Clips, r.Copies, r.Homework, r.Slips, r.Shares, r.Typed, r.Uploads))
	return hex.EncodeToString(sum[:8])
}

// counted says in words what a deletion takes away.
func counted(r wire.Removed) string {
	var parts []string
	for _, of := range []struct {
		n         int
		one, many string
	}{
		{r.Bullpens, "bullpen", "bullpens"}, {r.Films, "film", "films"}, {r.Reps, "rep", "reps"}, {r.Clips, "clip", "clips"},
		{r.Copies, "clip in an answer", "clips in answers"},
		{r.Homework, "homework", "homeworks"}, {r.Slips, "slip", "slips"}, {r.Shares, "link to a result", "links to results"}, {r.Typed, "reading from the field", "readings from the field"}, {r.Uploads, "film on its way", "films on their way"},
	} {
		switch of.n {
		case 0:
		case 1:
			parts = append(parts, "1 "+of.one)
		default:
			parts = append(parts, fmt.Sprintf("%d %s", of.n, of.many))
		}
	}
	if len(parts) == 0 {
		return "nothing else"
	}
	return strings.Join(parts, ", ")
}

// remover removes a pitcher or a bullpen if somebody agrees to what that takes away.
type remover func(ctx context.Context, id string, version int64, agree func(intake.Removed) error) (intake.Removed, error)

// take removes a pitcher or a bullpen if what it takes away is what was confirmed:
// counted and removed in one, while no upload begins.
func (s *Server) take(ctx context.Context, in *removeAll, remove remover) (out wire.Removed, err error) {
	err = s.deps.Homework.Still(ctx, func() error {
		r, err := remove(ctx, in.ID, in.Version, func(r intake.Removed) error { return s.confirmed(ctx, in.Confirm, r) })
		if err != nil {
			return err
		}
		out = removedOf(r)
		out.Uploads, err = s.deps.Homework.Forget(ctx, r.HomeworkIDs...)
		return err
	})
	return out, err
}

// confirmed refuses a deletion of anything but what was confirmed.
func (s *Server) confirmed(ctx context.Context, confirm string, r intake.Removed) error {
	now, err := s.withUploads(ctx, r)
	switch {
	case err != nil:
		return err
	case confirm == "":
		return bullpen.Errorf(bullpen.Invalid, "Deleting this takes away %s. Ask for the count first and send its confirm with the deletion.", counted(now))
	case confirm != now.Confirm:
		return bullpen.Errorf(bullpen.Conflict, "Something came or went since this was counted; now it takes away %s. Look at the numbers again before deleting.", counted(now))
	}
	return nil
}

// removedOf says what a deletion took away.
func removedOf(r intake.Removed) wire.Removed {
	return wire.Removed{
		Bullpens: r.Bullpens, Films: r.Films, Reps: r.Reps, Clips: r.Clips, Copies: r.Copies,
		Homework: len(r.HomeworkIDs), Slips: r.Slips, Shares: r.Shares, Typed: r.Typed, Bytes: r.Bytes,
	}
}

// removed passes a deletion on that takes no homework with it.
func removed(r intake.Removed, err error) (wire.Removed, error) { return removedOf(r), err }
