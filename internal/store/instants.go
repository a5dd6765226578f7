package store

import (
	"context"
	"database/sql"
	"errors"

	"tenoff/internal/bullpen"
)

// FoundInstant is one instant that was found in a rep.
type FoundInstant struct {
	Seconds float64 // real seconds of the rep's film, when the picture was taken, see bullpen.Cadence
	Match   float64 // correlation with the pattern round the mark, -1 to 1
	Sure    bool    // false: it would be here, but mark it by hand
}

// Instants are the instants that were found in a rep. They are kept apart from its
// marks.
type Instants struct {
	RepID  string
	FilmID string
	// Mark, Slow and Trace are what they were found from: the release mark, the
	// film's slow factor and the version of the trace. When one of them is no longer
	// so, the instants are no longer the rep's.
	Mark                       int
	Slow                       float64
	Trace                      int
	Drive, Plant, Top, Release FoundInstant
	Stretch                    float64 // log, of the whole delivery against the mean fastball
	Match                      float64 // of the whole delivery
}

// Holds reports whether the instants still belong to the rep on its film.
func (i Instants) Holds(r bullpen.Rep, f bullpen.Film) bool {
	return i.RepID == r.ID && i.FilmID == r.FilmID && r.FilmID == f.ID && i.Mark == r.Release && i.Slow == f.Clock.Slow
}

// InstantSearch is what the last search for instants said of a film.
type InstantSearch struct {
	FilmID  string
	Inputs  string  // digest of all that the search hung on
	Refusal string  // one sentence, "" if it went well
	Doubled float64 // share of repeated frames
	// Cadence is the film's as it plays: its step is in the film's own seconds, whatever
	// slow factor somebody gives it later, see Cadences.
	Cadence bullpen.Cadence
}

// Cadences returns how films had been re-timed, by their IDs, in the real seconds of
// their clocks as they are now.
func Cadences(said []InstantSearch, films []Film) map[string]bullpen.Cadence {
	out := make(map[string]bullpen.Cadence, len(said))
	for _, s := range said {
		for _, f := range films {
			if f.ID == s.FilmID {
				k := s.Cadence
				k.Step /= f.Clock.SlowFactor()
				out[f.ID] = k
			}
		}
	}
	return out
}

// Accepted is where instants of a rep were found when they were made marks, as frames;
// bullpen.Unmarked for none. A mark that lies elsewhere was moved from there.
type Accepted struct{ Drive, Plant, Top int }

// NoneAccepted is of a rep whose marks have nothing to do with what was found.
func NoneAccepted() Accepted {
	return Accepted{bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked}
}

const instantFields = `i.rep_id, i.film_id, i.mark, i.slow, i.trace, i.drive, i.drive_match, i.drive_sure, i.plant, i.plant_match, i.plant_sure,
	i.top, i.top_match, i.top_sure, i."release", i.release_match, i.release_sure, i.stretch, i.whole_match`

func instantsFrom(row scanner) (i Instants, err error) {
	return i, row.Scan(&i.RepID, &i.FilmID, &i.Mark, &i.Slow, &i.Trace, &i.Drive.Seconds, &i.Drive.Match, &i.Drive.Sure,
		&i.Plant.Seconds, &i.Plant.Match, &i.Plant.Sure, &i.Top.Seconds, &i.Top.Match, &i.Top.Sure,
		&i.Release.Seconds, &i.Release.Match, &i.Release.Sure, &i.Stretch, &i.Match)
}

// Instants lists what was found in a bullpen's reps.
func (s *Store) Instants(ctx context.Context, bullpenID string) ([]Instants, error) {
	return all(ctx, s.read, instantsFrom, instantsQuery, bullpenID, s.own(ctx))
}

const instantsQuery = `SELECT ` + instantFields + ` FROM films f CROSS JOIN instants i ON i.film_id = f.id
	WHERE f.bullpen_id = ? AND f.academy_id = ?`

// InstantSearch lists what the last search for instants said of a bullpen's films.
func (s *Store) InstantSearch(ctx context.Context, bullpenID string) ([]InstantSearch, error) {
	return all(ctx, s.read, func(row scanner) (f InstantSearch, err error) {
		return f, row.Scan(&f.FilmID, &f.Inputs, &f.Refusal, &f.Doubled, &f.Cadence.Step, &f.Cadence.Every, &f.Cadence.Repeats, &f.Cadence.Skips)
	}, `SELECT w.film_id, w.inputs, w.refusal, w.doubled, w.step, w.cadence, w.repeats, w.skips FROM films f CROSS JOIN followed w ON w.film_id = f.id
		WHERE f.bullpen_id = ? AND f.academy_id = ? ORDER BY f.position, f.id`, bullpenID, s.own(ctx))
}

// A bullpen in which instants may be found has a rep with a drive mark; one in which they
// were looked for has a film that says so.
const (
	markedQuery = `SELECT bullpen_id FROM reps INDEXED BY reps_timed WHERE deleted = 0 AND drive >= 0 AND academy_id = ?
		UNION SELECT f.bullpen_id FROM followed w CROSS JOIN films f ON f.id = w.film_id WHERE w.academy_id = ?`
	isMarkedQuery = `SELECT EXISTS (SELECT 1 FROM bullpens b CROSS JOIN reps r INDEXED BY reps_timed ON r.pitcher_id = b.pitcher_id AND r.bullpen_id = b.id
			WHERE b.id = ?1 AND r.deleted = 0 AND r.drive >= 0)
		OR EXISTS (SELECT 1 FROM films f CROSS JOIN followed w ON w.film_id = f.id WHERE f.bullpen_id = ?1)`
)

// MarkedBullpens lists the bullpens in which instants may be found from marks, or were.
func (s *Store) MarkedBullpens(ctx context.Context) ([]string, error) {
	return all(ctx, s.read, text, markedQuery, s.own(ctx), s.own(ctx))
}

// IsMarked reports whether a bullpen is one of MarkedBullpens. It is quick: every change
// of a bullpen asks it.
func (s *Store) IsMarked(ctx context.Context, bullpenID string) (marked bool, err error) {
	return marked, s.read.QueryRowContext(ctx, isMarkedQuery, bullpenID).Scan(&marked)
}

// KeepInstants puts what a search found in a bullpen's reps in place of all that
// earlier ones did. seen is the bullpen's revision that the search began from: with
// another one it is refused as a Conflict, for it may have hung on what is no longer so.
func (s *Store) KeepInstants(ctx context.Context, bullpenID string, seen int64, films []InstantSearch, found []Instants) error {
	return s.tx(ctx, func(tx *tx) error {
		var revision int64
		err := tx.QueryRow(`SELECT revision FROM bullpens WHERE id = ? AND academy_id = ?`, bullpenID, tx.academy).Scan(&revision)
		if err != nil {
			return one(err, "bullpen")
		}
		if revision != seen {
			return stale("bullpen")
		}
		for _, table := range []string{"instants", "followed"} {
			if _, err := tx.Exec(`DELETE FROM `+table+` WHERE film_id IN (SELECT id FROM films WHERE bullpen_id = ?)`, bullpenID); err != nil {
				return err
			}
		}
		for _, f := range films {
			_, err := tx.Exec(`INSERT INTO followed (film_id, academy_id, inputs, refusal, doubled, step, cadence, repeats, skips)
				SELECT id, ?, ?, ?, ?, ?, ?, ?, ? FROM films WHERE id = ? AND bullpen_id = ?`, s.own(ctx), f.Inputs, f.Refusal, f.Doubled,
				f.Cadence.Step, f.Cadence.Every, f.Cadence.Repeats, f.Cadence.Skips, f.FilmID, bullpenID)
			if err != nil {
				return err
			}
		}
		for _, i := range found {
			_, err := tx.Exec(`INSERT INTO instants (rep_id, academy_id, film_id, mark, slow, trace, drive, drive_match, drive_sure,
				plant, plant_match, plant_sure, top, top_match, top_sure, "release", release_match, release_sure, stretch, whole_match)
				SELECT id, ?, film_id, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ? FROM reps WHERE id = ? AND film_id = ? AND bullpen_id = ?`,
				s.own(ctx), i.Mark, i.Slow, i.Trace, i.Drive.Seconds, i.Drive.Match, i.Drive.Sure,
				i.Plant.Seconds, i.Plant.Match, i.Plant.Sure, i.Top.Seconds, i.Top.Match, i.Top.Sure,
				i.Release.Seconds, i.Release.Match, i.Release.Sure, i.Stretch, i.Match, i.RepID, i.FilmID, bullpenID)
			if err != nil {
				return err
			}
		}
		_, err = tx.touch(bullpenID)
		return err
	})
}

// Accepted returns which marks of a bullpen's reps were taken over from what was
// found, by rep.
func (s *Store) Accepted(ctx context.Context, bullpenID string) (map[string]Accepted, error) {
	return acceptedIn(ctx, s.read, bullpenID, s.own(ctx))
}

func acceptedIn(ctx context.Context, db queryer, bullpenID, academy string) (map[string]Accepted, error) {
	out := map[string]Accepted{}
	_, err := all(ctx, db, func(row scanner) (id string, err error) {
		var a Accepted
		err = row.Scan(&id, &a.Drive, &a.Plant, &a.Top)
		out[id] = a
		return id, err
	}, acceptedQuery, bullpenID, academy)
	return out, err
}

// acceptedQuery names its index: left alone, SQLite goes through the whole academy.
const acceptedQuery = `SELECT a.rep_id, a.drive, a.plant, a.top FROM reps r INDEXED BY reps_by_bullpen CROSS JOIN accepted a ON a.rep_id = r.id
	WHERE r.bullpen_id = ? AND r.deleted = 0 AND r.academy_id = ?
	AND a.version = (SELECT max(version) FROM accepted WHERE rep_id = r.id)`

// AcceptInstants stores reps with marks on what was found, all or none, and returns
// their bullpen's new revision. taken says where it was found, by rep.
func (s *Store) AcceptInstants(ctx context.Context, reps []bullpen.Rep, taken map[string]Accepted) (revision int64, err error) {
	var kept map[string]Accepted // of their bullpen, as it was before
	return s.saveReps(ctx, reps, func(tx *tx, was, _ bullpen.Rep) error {
		a, ok := taken[was.ID]
		if !ok {
			return nil
		}
		if kept == nil {
			var err error
			if kept, err = acceptedIn(ctx, tx, was.BullpenID, tx.academy); err != nil {
				return err
			}
		}
		before, ok := kept[was.ID]
		if !ok {
			before = NoneAccepted()
		}
		return reaccept(tx, was, before, a, [3]bool{a.Drive >= 0, a.Plant >= 0, a.Top >= 0})
	})
}

// SaveRepAs is SaveRep for marks that come back: each mark that changes counts again as
// it did at the given version of the rep, as found or as placed by hand.
func (s *Store) SaveRepAs(ctx context.Context, r bullpen.Rep, version int64) (bullpen.Rep, int64, error) {
	revision, err := s.saveReps(ctx, []bullpen.Rep{r}, func(tx *tx, was, now bullpen.Rep) error {
		if version > was.Version {
			return bullpen.Errorf(bullpen.Invalid, "There is no version %d of this rep; it is at version %d.", version, was.Version)
		}
		then, err := acceptedAt(tx, was.ID, version)
		if err != nil {
			return err
		}
		before, err := acceptedAt(tx, was.ID, was.Version)
		if err != nil {
			return err
		}
		return reaccept(tx, was, before, then, [3]bool{was.Drive != now.Drive, was.Plant != now.Plant, was.Top != now.Top})
	})
	if err != nil {
		return r, 0, err
	}
	r, err = s.Rep(ctx, r.ID)
	return r, revision, err
}

// reaccept keeps from a rep's next version on what is in a of some of its drive, plant
// and top; of the others what was kept before stays.
func reaccept(tx *tx, was bullpen.Rep, before, a Accepted, which [3]bool) error {
	with := before
	for i, at := range []struct {
		into *int
		from int
	}{{&with.Drive, a.Drive}, {&with.Plant, a.Plant}, {&with.Top, a.Top}} {
		if which[i] {
			*at.into = at.from
		}
	}
	if with == before {
		return nil
	}
	_, err := tx.Exec(`INSERT INTO accepted (rep_id, version, academy_id, drive, plant, top) VALUES (?, ?, ?, ?, ?, ?)`,
		was.ID, was.Version+1, tx.academy, with.Drive, with.Plant, with.Top)
	return err
}

// acceptedAt returns what was accepted of a rep at one of its versions.
func acceptedAt(tx *tx, repID string, version int64) (Accepted, error) {
	a := NoneAccepted()
	err := tx.QueryRow(`SELECT drive, plant, top FROM accepted WHERE rep_id = ? AND version <= ? ORDER BY version DESC LIMIT 1`, repID, version).Scan(&a.Drive, &a.Plant, &a.Top)
	if errors.Is(err, sql.ErrNoRows) {
		return a, nil
	}
	return a, err
}

// timedQuery lists the bullpens of a pitcher whose films may tell something: the legs of
// some rep are timed, by hand or by what was found, or the ball's sound is on it; one may
// come several times.
const timedQuery = `SELECT r.bullpen_id FROM reps r INDEXED BY reps_timed
		WHERE r.pitcher_id = ? AND r.deleted = 0 AND r.drive >= 0 AND r.academy_id = ?
	UNION ALL SELECT f.bullpen_id FROM bullpens b CROSS JOIN films f ON f.bullpen_id = b.id CROSS JOIN instants i ON i.film_id = f.id
		WHERE b.pitcher_id = ? AND b.academy_id = ?
	UNION ALL SELECT f.bullpen_id FROM bullpens b CROSS JOIN films f INDEXED BY films_by_bullpen ON f.bullpen_id = b.id
		WHERE b.pitcher_id = ? AND b.academy_id = ? AND f.has_sound <> 0`

// TimedBullpens returns the bullpens of a pitcher whose films can tell something of the
// body or of the ball.
func (s *Store) TimedBullpens(ctx context.Context, pitcherID string) (map[string]bool, error) {
	own := s.own(ctx)
	ids, err := all(ctx, s.read, text, timedQuery, pitcherID, own, pitcherID, own, pitcherID, own)
	out := make(map[string]bool, len(ids))
	for _, id := range ids {
		out[id] = true
	}
	return out, err
}
