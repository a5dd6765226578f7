-- Every row carries its academy; ids are random text; times are microseconds UTC.
CREATE TABLE academies (
  id      TEXT PRIMARY KEY,
  created INTEGER NOT NULL
) STRICT;

CREATE TABLE pitchers (
  id             TEXT PRIMARY KEY,
  academy_id     TEXT NOT NULL REFERENCES academies (id),
  version        INTEGER NOT NULL,
  created        INTEGER NOT NULL,
  label          TEXT NOT NULL,
  hand           TEXT NOT NULL,
  level          TEXT NOT NULL,
  distance_feet  REAL NOT NULL,
  extension_feet REAL NOT NULL,
  ball_kind      TEXT NOT NULL,
  baseline_pitch TEXT NOT NULL,
  policy         TEXT NOT NULL,
  typed_baseline REAL NOT NULL, -- mph, 0 for none
  gun_tolerance  REAL NOT NULL, -- mph
  bands          TEXT NOT NULL, -- JSON: pitch code to band
  trust_rule     TEXT NOT NULL, -- JSON, '' for the default
  unit           TEXT NOT NULL
) STRICT;
CREATE INDEX pitchers_by_label ON pitchers (academy_id, label COLLATE NOCASE, id);

CREATE TABLE bullpens (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  pitcher_id TEXT NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  version    INTEGER NOT NULL, -- of the bullpen's own fields
  revision   INTEGER NOT NULL, -- rises with every change inside it
  created    INTEGER NOT NULL,
  day        TEXT NOT NULL,
  day_said   INTEGER NOT NULL, -- somebody chose the day
  title      TEXT NOT NULL,
  gun        TEXT NOT NULL,
  unit       TEXT NOT NULL,
  step       REAL NOT NULL,
  note       TEXT NOT NULL,
  arranged   INTEGER NOT NULL DEFAULT 0, -- somebody chose the order of its films
  -- Counts of its reps that were not taken out, kept with every revision so that
  -- lists need not count.
  reps       INTEGER NOT NULL DEFAULT 0,
  readings   INTEGER NOT NULL DEFAULT 0,
  warm_ups   INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE INDEX bullpens_by_day ON bullpens (academy_id, day DESC, id DESC);
-- Holds all that the list of pitchers and the load ask for.
CREATE INDEX bullpens_by_pitcher ON bullpens (pitcher_id, day DESC, id DESC, academy_id, reps, warm_ups);

CREATE TABLE films (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  bullpen_id TEXT NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  version    INTEGER NOT NULL,
  created    INTEGER NOT NULL,
  name       TEXT NOT NULL,
  sha256     TEXT NOT NULL,
  bytes      INTEGER NOT NULL,
  state      TEXT NOT NULL,
  refusal    TEXT NOT NULL,
  position   INTEGER NOT NULL,
  recorded   INTEGER NOT NULL,
  width      INTEGER NOT NULL,
  height     INTEGER NOT NULL,
  codec      TEXT NOT NULL,
  hdr        INTEGER NOT NULL,
  has_sound  INTEGER NOT NULL,
  clock_num  INTEGER NOT NULL,
  clock_den  INTEGER NOT NULL,
  ticks      BLOB NOT NULL,    -- varints of the differences
  slow       REAL NOT NULL,
  slow_known INTEGER NOT NULL,
  view       TEXT NOT NULL,
  made       TEXT NOT NULL     -- JSON: the files made of it and how to cut from it
) STRICT;
CREATE INDEX films_by_bullpen ON films (bullpen_id, position, id);
CREATE UNIQUE INDEX films_once ON films (bullpen_id, sha256) WHERE state <> 'refused';
CREATE INDEX films_unsettled ON films (academy_id, state) WHERE state <> 'ready';

CREATE TABLE reps (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  bullpen_id TEXT NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  pitcher_id TEXT NOT NULL,    -- the bullpen's, like the day: kept here for lists across bullpens
  day        TEXT NOT NULL,
  version    INTEGER NOT NULL,
  created    INTEGER NOT NULL,
  deleted    INTEGER NOT NULL, -- when it was taken out, 0 while it counts
  film_id    TEXT REFERENCES films (id) ON DELETE SET NULL,
  drive      INTEGER NOT NULL, -- frame indices, -1 for not marked
  plant      INTEGER NOT NULL,
  top        INTEGER NOT NULL,
  "release"  INTEGER NOT NULL,
  place      INTEGER NOT NULL, -- order within the bullpen
  pitch      TEXT NOT NULL,
  reading    REAL,             -- as the gun showed it
  unit       TEXT NOT NULL,
  step       REAL NOT NULL,
  gun        TEXT NOT NULL,
  drill      TEXT NOT NULL,
  set_number INTEGER NOT NULL,
  number     INTEGER NOT NULL,
  called     TEXT NOT NULL,
  warm_up    INTEGER NOT NULL,
  note       TEXT NOT NULL
) STRICT;
-- These two serve foreign keys too, so they hold what was taken out as well.
CREATE INDEX reps_by_bullpen ON reps (bullpen_id, deleted, place, id);
CREATE INDEX reps_by_film ON reps (film_id, deleted);
CREATE INDEX reps_taken_out ON reps (deleted) WHERE deleted > 0;
CREATE INDEX reps_by_pitcher ON reps (pitcher_id, day DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
CREATE INDEX reps_by_pitcher_pitch ON reps (pitcher_id, pitch, day DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
CREATE INDEX reps_by_day ON reps (academy_id, day DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
CREATE INDEX reps_by_pitch ON reps (academy_id, pitch, day DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;

CREATE TABLE proposals (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  film_id    TEXT NOT NULL REFERENCES films (id) ON DELETE CASCADE,
  version    INTEGER NOT NULL,
  from_frame INTEGER NOT NULL,
  to_frame   INTEGER NOT NULL,
  "release"  INTEGER NOT NULL,
  confidence REAL NOT NULL,
  reason     TEXT NOT NULL,
  state      TEXT NOT NULL, -- open, confirmed, thrown out
  rep_id     TEXT REFERENCES reps (id) ON DELETE SET NULL
) STRICT;
CREATE INDEX proposals_by_film ON proposals (film_id, "release", id);
CREATE INDEX proposals_by_rep ON proposals (rep_id);

CREATE TABLE clips (
  id          TEXT PRIMARY KEY,
  academy_id  TEXT NOT NULL REFERENCES academies (id),
  bullpen_id  TEXT NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  created     INTEGER NOT NULL,
  kind        TEXT NOT NULL, -- single, pair
  rep_id      TEXT NOT NULL REFERENCES reps (id) ON DELETE CASCADE,
  other_id    TEXT REFERENCES reps (id) ON DELETE CASCADE,
  options     TEXT NOT NULL, -- JSON
  shows       TEXT NOT NULL, -- digest of everything it shows, '' until it is made
  state       TEXT NOT NULL, -- queued, rendering, ready, failed, cancelled
  problem     TEXT NOT NULL,
  file_name   TEXT NOT NULL,
  bytes       INTEGER NOT NULL,
  seconds     REAL NOT NULL,
  release_at  REAL NOT NULL,
  made        TEXT NOT NULL, -- JSON: keys of its files
  job_id      TEXT NOT NULL
) STRICT;
CREATE INDEX clips_by_bullpen ON clips (bullpen_id, created, id);
CREATE INDEX clips_by_rep ON clips (rep_id);
CREATE INDEX clips_by_other ON clips (other_id);

-- Every file under the data folder. One without a film or a clip is loose: about
-- to be made, or no longer wanted. What is loose when the program starts is removed.
CREATE TABLE files (
  key        TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  film_id    TEXT REFERENCES films (id) ON DELETE SET NULL,
  clip_id    TEXT REFERENCES clips (id) ON DELETE SET NULL,
  bytes      INTEGER NOT NULL,
  created    INTEGER NOT NULL
) STRICT;
CREATE INDEX files_by_film ON files (film_id);
CREATE INDEX files_by_clip ON files (clip_id);

CREATE TABLE levels (
  academy_id TEXT NOT NULL REFERENCES academies (id),
  key        TEXT NOT NULL,
  version    INTEGER NOT NULL,
  edited     TEXT NOT NULL, -- JSON of the whole level
  PRIMARY KEY (academy_id, key)
) STRICT;

CREATE TABLE settings (
  academy_id TEXT NOT NULL REFERENCES academies (id),
  name       TEXT NOT NULL,
  value      TEXT NOT NULL,
  PRIMARY KEY (academy_id, name)
) STRICT;

CREATE TABLE jobs (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  bullpen_id TEXT NOT NULL, -- '' for none; no reference, so that a job outlives what it cleans up
  kind       TEXT NOT NULL,
  subject    TEXT NOT NULL,
  payload    TEXT NOT NULL,
  state      TEXT NOT NULL, -- queued, running, done, failed, cancelled
  progress   REAL NOT NULL,
  problem    TEXT NOT NULL,
  attempts   INTEGER NOT NULL,
  created    INTEGER NOT NULL,
  changed    INTEGER NOT NULL,
  lease      INTEGER NOT NULL, -- running: until when the worker holds it; queued: not to be taken before
  cancelling INTEGER NOT NULL
) STRICT;
CREATE INDEX jobs_waiting ON jobs (created, id) WHERE state IN ('queued', 'running');
CREATE UNIQUE INDEX jobs_once ON jobs (kind, subject) WHERE state = 'queued' AND subject <> '';
CREATE INDEX jobs_by_subject ON jobs (subject, state);
CREATE INDEX jobs_by_bullpen ON jobs (bullpen_id, created, id) WHERE state <> 'done';
CREATE INDEX jobs_unfinished ON jobs (academy_id, created, id) WHERE state <> 'done';
