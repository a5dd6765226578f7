-- The instants that were found in a rep, apart from its marks: real seconds of its
-- film, how well each one matched, and whether it is believed.
CREATE TABLE instants (
  rep_id        TEXT PRIMARY KEY REFERENCES reps (id) ON DELETE CASCADE,
  academy_id    TEXT NOT NULL REFERENCES academies (id),
  film_id       TEXT NOT NULL REFERENCES films (id) ON DELETE CASCADE,
  mark          INTEGER NOT NULL, -- the release mark it was found from, a frame index
  slow          REAL NOT NULL,    -- the film's slow factor then
  trace         INTEGER NOT NULL, -- version of the motion it was found in
  drive         REAL NOT NULL,
  drive_match   REAL NOT NULL,
  drive_sure    INTEGER NOT NULL,
  plant         REAL NOT NULL,
  plant_match   REAL NOT NULL,
  plant_sure    INTEGER NOT NULL,
  top           REAL NOT NULL,
  top_match     REAL NOT NULL,
  top_sure      INTEGER NOT NULL,
  "release"     REAL NOT NULL,
  release_match REAL NOT NULL,
  release_sure  INTEGER NOT NULL,
  stretch       REAL NOT NULL,
  whole_match   REAL NOT NULL
) STRICT;
CREATE INDEX instants_by_film ON instants (film_id);

-- What the last search for instants said of a film, if only why it could not.
CREATE TABLE followed (
  film_id    TEXT PRIMARY KEY REFERENCES films (id) ON DELETE CASCADE,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  inputs     TEXT NOT NULL, -- digest of all that the bullpen's search hung on
  refusal    TEXT NOT NULL, -- one sentence, '' if it went well
  doubled    REAL NOT NULL  -- share of repeated frames
) STRICT;

-- Marks that were taken over from what was found and not placed by hand: frame
-- indices, -1 for none. One that has since been moved is a mark like any other.
CREATE TABLE accepted (
  rep_id     TEXT PRIMARY KEY REFERENCES reps (id) ON DELETE CASCADE,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  drive      INTEGER NOT NULL,
  plant      INTEGER NOT NULL,
  top        INTEGER NOT NULL
) STRICT;

-- The reps whose legs are timed by hand, for what is followed over weeks.
CREATE INDEX reps_timed ON reps (pitcher_id, bullpen_id) WHERE deleted = 0 AND drive >= 0;
