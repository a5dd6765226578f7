package store

import (
	"cmp"
	"context"
	"slices"

	"tenoff/internal/bullpen"
)

// ProposalState is what became of a proposed rep.
type ProposalState string

// The states of a proposal.
const (
	ProposalOpen      ProposalState = "open"
	ProposalConfirmed ProposalState = "confirmed"  // it became a rep
	ProposalThrownOut ProposalState = "thrown out" // the coach said it is none
)

// Proposal is a rep that was found in a film and that nobody has confirmed. It
// counts in no number.
type Proposal struct {
	ID       string
	FilmID   string
	Version  int64
	From, To int // frames
	Release  int // frame
	// Instant is where between frames that release was surely found, file seconds, as
	// trace.Candidate's Found; nil where it was not, and in the rough.
	Instant *float64
	// Spread is the standard deviation to expect of Instant about what the marks have in
	// common, real seconds; nil where that is.
	Spread     *float64
	Confidence float64
	Reason     string
	State      ProposalState
	Rough      bool   // found before any release of its film was marked
	RepID      string // "" unless confirmed
}

// Vague reports whether releases of p's film are marked and p's was not surely found from
// them.
func (p Proposal) Vague() bool { return !p.Rough && p.Instant == nil }

const proposalFields = `p.id, p.film_id, p.version, p.from_frame, p.to_frame, p."release", p.instant, p.spread, p.confidence, p.reason, p.state, p.rough, coalesce(p.rep_id, '')`

func proposalFrom(row scanner) (p Proposal, err error) {
	return p, row.Scan(&p.ID, &p.FilmID, &p.Version, &p.From, &p.To, &p.Release, &p.Instant, &p.Spread, &p.Confidence, &p.Reason, &p.State, &p.Rough, &p.RepID)
}

// Proposals lists the proposals on a bullpen's films, in order.
func (s *Store) Proposals(ctx context.Context, bullpenID string) ([]Proposal, error) {
	return all(ctx, s.read, proposalFrom, `SELECT `+proposalFields+` FROM proposals p JOIN films f ON f.id = p.film_id
		WHERE f.bullpen_id = ? AND p.academy_id = ? ORDER BY f.position, p."release", p.id`, bullpenID, s.own(ctx))
}

// FilmFindings is what a search for reps says of a film as a whole.
type FilmFindings struct {
	Box      bullpen.Box // where the pitcher was found; none leaves what was
	Slow     float64     // bullpen.Film's FoundSlow; 0 is 1
	TooShort bool
	// FoundBy names the other films' marks that the search saw, one word for each film.
	FoundBy string
	// Finder is the version of the method that looked, 0 for one that did not see the whole
	// film.
	Finder int
}

// Propose replaces a film's open proposals, and what is said of it as a whole; proposals
// that were confirmed or thrown out stay. A new one within near frames of what was
// decided is left out; one within near frames of an open one takes its place and its ID,
// so that whoever looks at that one may still confirm it. Where between frames a release
// was found is kept with a rep that is marked on its frame.
func (s *Store) Propose(ctx context.Context, filmID string, found []Proposal, look FilmFindings, near int) error {
	return s.tx(ctx, func(tx *tx) error {
		var bullpenID string
		if err := tx.QueryRow(`SELECT bullpen_id FROM films WHERE id = ? AND academy_id = ?`, filmID, s.own(ctx)).Scan(&bullpenID); err != nil {
			return one(err, "film")
		}
		if _, err := tx.Exec(`UPDATE films SET found_box = CASE WHEN ? = '' THEN found_box ELSE ? END, found_slow = ?, too_short = ?, found_by = ?, finder = ? WHERE id = ?`,
			packBox(look.Box), packBox(look.Box), cmp.Or(look.Slow, 1), look.TooShort, look.FoundBy, look.Finder, filmID); err != nil {
			return err
		}
		open, err := all(ctx, tx, proposalFrom, `SELECT `+proposalFields+` FROM proposals p WHERE p.film_id = ? AND p.state = 'open' ORDER BY p."release", p.id`, filmID)
		if err != nil {
			return err
		}
		if _, err := tx.Exec(`DELETE FROM proposals WHERE film_id = ? AND state = 'open'`, filmID); err != nil {
			return err
		}
		if _, err := tx.Exec(`UPDATE reps SET found = NULL, found_spread = NULL WHERE film_id = ? AND found IS NOT NULL`, filmID); err != nil {
			return err
		}
		for _, p := range found {
			p.ID, p.Version = newID(), 1
			if k := nearestOf(open, p.Release, near); k >= 0 {
				p.ID, p.Version = open[k].ID, open[k].Version+1
				open = slices.Delete(open, k, k+1)
			}
			_, err := tx.Exec(`INSERT INTO proposals (id, academy_id, film_id, version, from_frame, to_frame, "release", instant, spread, confidence, reason, state, rough)
				SELECT ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 'open', ?
				WHERE NOT EXISTS (SELECT 1 FROM proposals WHERE film_id = ? AND abs("release" - ?) <= ?)
				AND NOT EXISTS (SELECT 1 FROM reps WHERE film_id = ? AND deleted = 0 AND abs("release" - ?) <= ?)`,
				p.ID, s.own(ctx), filmID, p.Version, p.From, p.To, p.Release, p.Instant, p.Spread, p.Confidence, p.Reason, p.Rough,
				filmID, p.Release, near, filmID, p.Release, near)
			if err != nil {
				return err
			}
			if p.Instant == nil {
				continue
			}
			if _, err := tx.Exec(`UPDATE reps SET found = ?, found_spread = ? WHERE film_id = ? AND "release" = ?`, p.Instant, p.Spread, filmID, p.Release); err != nil {
				return err
			}
		}
		_, err = tx.touch(bullpenID)
		return err
	})
}

// FoundRelease is where between frames a rep's release was found.
type FoundRelease struct {
	Seconds float64 // file seconds, when the picture was taken, as trace.Candidate's Found
	Spread  float64 // as Proposal's, real seconds
}

// FoundReleases returns where between frames the releases of a bullpen's reps were
// found, by rep: only of those that were.
func (s *Store) FoundReleases(ctx context.Context, bullpenID string) (map[string]FoundRelease, error) {
	out := map[string]FoundRelease{}
	_, err := all(ctx, s.read, func(row scanner) (id string, err error) {
		var at FoundRelease
		err = row.Scan(&id, &at.Seconds, &at.Spread)
		out[id] = at
		return id, err
	}, `SELECT id, found, found_spread FROM reps WHERE bullpen_id = ? AND deleted = 0 AND found IS NOT NULL AND found_spread IS NOT NULL AND academy_id = ?`, bullpenID, s.own(ctx))
	return out, err
}

// nearestOf returns the index of the proposal whose release is nearest to a frame and
// within near frames of it, -1 for none.
func nearestOf(all []Proposal, release, near int) int {
	best := -1
	off := func(k int) int { return max(all[k].Release-release, release-all[k].Release) }
	for k := range all {
		if off(k) <= near && (best < 0 || off(k) < off(best)) {
			best = k
		}
	}
	return best
}

// ThrowOut says that a proposal is no rep, or with back that it may be one after
// all.
func (s *Store) ThrowOut(ctx context.Context, id string, back bool) (revision int64, err error) {
	from, to := ProposalOpen, ProposalThrownOut
	if back {
		from, to = to, from
	}
	err = s.tx(ctx, func(tx *tx) error {
		var bullpenID string
		err := tx.QueryRow(`UPDATE proposals SET state = ?, version = version + 1 WHERE id = ? AND state = ? AND academy_id = ?
			RETURNING (SELECT bullpen_id FROM films WHERE id = film_id)`, to, id, from, s.own(ctx)).Scan(&bullpenID)
		if err != nil {
			return one(err, "proposal")
		}
		revision, err = tx.touch(bullpenID)
		return err
	})
	return revision, err
}

// Confirm turns an open proposal into the given rep.
func (s *Store) Confirm(ctx context.Context, id string, r bullpen.Rep) (bullpen.Rep, int64, error) {
	var revision int64
	err := s.tx(ctx, func(tx *tx) (err error) {
		if r, err = s.addRep(tx, r, ""); err != nil {
			return err
		}
		if err := tx.confirm(id, r.ID, r.FilmID); err != nil {
			return err
		}
		revision, err = tx.touch(r.BullpenID)
		return err
	})
	return r, revision, err
}

// confirm says of an open proposal on a film which rep it became.
func (t *tx) confirm(id, repID, filmID string) error {
	res, err := t.Exec(`UPDATE proposals SET state = 'confirmed', rep_id = ?, version = version + 1
		WHERE id = ? AND state = 'open' AND film_id = ? AND academy_id = ?`, repID, id, filmID, t.academy)
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		if err == nil {
			err = stale("proposal")
		}
		return err
	}
	_, err = t.Exec(`UPDATE reps SET (found, found_spread) = (SELECT instant, spread FROM proposals WHERE id = ?) WHERE id = ?`, id, repID)
	return err
}

// reopen makes the proposal that became a rep open again when the rep is taken out,
// and confirmed when it is brought back.
func reopen(tx *tx, repID string, gone bool) error {
	from, to := ProposalOpen, ProposalConfirmed
	if gone {
		from, to = to, from
	}
	_, err := tx.Exec(`UPDATE proposals SET state = ?, version = version + 1 WHERE rep_id = ? AND state = ?`, to, repID, from)
	return err
}
