CREATE TABLE drills (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  version    INTEGER NOT NULL,
  created    INTEGER NOT NULL,
  name       TEXT NOT NULL,
  how_to     TEXT NOT NULL,
  clip_id    TEXT REFERENCES clips (id) ON DELETE SET NULL
) STRICT;
CREATE UNIQUE INDEX drills_by_name ON drills (academy_id, name COLLATE NOCASE);
CREATE INDEX drills_by_clip ON drills (clip_id);

CREATE TABLE workouts (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  version    INTEGER NOT NULL,
  created    INTEGER NOT NULL,
  body       TEXT NOT NULL -- JSON of the whole workout
) STRICT;
CREATE INDEX workouts_by_time ON workouts (academy_id, created DESC, id DESC);

CREATE TABLE consents (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  pitcher_id TEXT NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  created    INTEGER NOT NULL,
  guardian   TEXT NOT NULL, -- who said yes
  given      TEXT NOT NULL, -- the day
  covers     TEXT NOT NULL, -- what for
  withdrawn  INTEGER NOT NULL -- when, 0 while it stands
) STRICT;
CREATE INDEX consents_by_pitcher ON consents (pitcher_id, created DESC, id DESC);

-- A workout handed out: copied, with a bullpen of its own.
CREATE TABLE homeworks (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  pitcher_id TEXT NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  bullpen_id TEXT NOT NULL UNIQUE REFERENCES bullpens (id) ON DELETE CASCADE,
  version    INTEGER NOT NULL,
  created    INTEGER NOT NULL,
  workout    TEXT NOT NULL,    -- JSON, as it was
  drills     TEXT NOT NULL,    -- JSON, the workout's, as they were
  due        TEXT NOT NULL,    -- YYYY-MM-DD, '' for none
  student    TEXT NOT NULL,    -- JSON: what she wrote
  draft      TEXT NOT NULL,    -- JSON: the reply being written
  sent       TEXT NOT NULL,    -- JSON: the reply she sees
  film_at    INTEGER NOT NULL, -- when the last film came, 0 for none
  review_at  INTEGER NOT NULL, -- when the review began, 0 for not yet
  trimmed    INTEGER NOT NULL  -- when the originals were let go, 0 while they are kept
) STRICT;
CREATE INDEX homeworks_by_time ON homeworks (academy_id, created DESC, id DESC);
CREATE INDEX homeworks_by_pitcher ON homeworks (pitcher_id, created DESC, id DESC);

CREATE TABLE slips (
  id          TEXT PRIMARY KEY,
  academy_id  TEXT NOT NULL REFERENCES academies (id),
  homework_id TEXT NOT NULL REFERENCES homeworks (id) ON DELETE CASCADE,
  token       BLOB NOT NULL UNIQUE, -- SHA-256 of it; the token itself is kept nowhere
  created     INTEGER NOT NULL,
  expires     INTEGER NOT NULL,
  closed      INTEGER NOT NULL, -- when, 0 while it is not
  last_used   INTEGER NOT NULL,
  max_bytes   INTEGER NOT NULL,
  max_files   INTEGER NOT NULL
) STRICT;
CREATE INDEX slips_by_homework ON slips (homework_id, created DESC, id DESC);

-- Where a rep of a homework lies along its workout, and what was filled in from
-- there; what differs from that was set by hand and stays.
CREATE TABLE laid (
  rep_id     TEXT PRIMARY KEY REFERENCES reps (id) ON DELETE CASCADE,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  shift      INTEGER NOT NULL,
  place      INTEGER NOT NULL, -- from 0, -1 beyond the workout
  set_number INTEGER NOT NULL,
  number     INTEGER NOT NULL,
  drill      TEXT NOT NULL,
  pitch      TEXT NOT NULL,
  reading    REAL,             -- the student's, NULL for none
  unit       TEXT NOT NULL
) STRICT;

CREATE TABLE drawings (
  rep_id     TEXT NOT NULL REFERENCES reps (id) ON DELETE CASCADE,
  frame      INTEGER NOT NULL,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  version    INTEGER NOT NULL,
  changed    INTEGER NOT NULL,
  shapes     TEXT NOT NULL, -- JSON
  PRIMARY KEY (rep_id, frame)
) STRICT;

-- An instructor. Each has an academy of her own, the owner the one that was first.
CREATE TABLE accounts (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  version    INTEGER NOT NULL,
  created    INTEGER NOT NULL,
  name       TEXT NOT NULL,
  passphrase TEXT NOT NULL, -- argon2id, with its parameters and salt
  owner      INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX accounts_by_name ON accounts (name COLLATE NOCASE);
CREATE INDEX accounts_by_academy ON accounts (academy_id);

CREATE TABLE sessions (
  token      BLOB PRIMARY KEY, -- SHA-256 of it
  academy_id TEXT NOT NULL REFERENCES academies (id),
  account_id TEXT NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
  created    INTEGER NOT NULL,
  expires    INTEGER NOT NULL
) STRICT;
CREATE INDEX sessions_by_account ON sessions (account_id);
CREATE INDEX sessions_by_expiry ON sessions (expires);
