-- What was typed at the fence, throw by throw, by whom a link or a session let in, until
-- each entry belongs to a rep. A lesson is a pitcher's day, or the bullpen that its link
-- names.
CREATE TABLE field_links (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  bullpen_id TEXT REFERENCES bullpens (id) ON DELETE CASCADE, -- NULL: for all pitchers
  token      BLOB NOT NULL UNIQUE, -- SHA-256 of it
  created    INTEGER NOT NULL,
  expires    INTEGER NOT NULL,
  closed     INTEGER NOT NULL, -- when, 0 while it is not
  last_used  INTEGER NOT NULL
) STRICT;
CREATE INDEX field_links_by_time ON field_links (academy_id, created DESC, id DESC);
CREATE INDEX field_links_by_bullpen ON field_links (bullpen_id);

-- How a bullpen's entries were joined with its reps, and how those were before, for undo.
CREATE TABLE field_joins (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  bullpen_id TEXT NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  created    INTEGER NOT NULL,
  body       TEXT NOT NULL -- JSON
) STRICT;
CREATE INDEX field_joins_by_bullpen ON field_joins (bullpen_id, created DESC);

CREATE TABLE field_entries (
  id         TEXT NOT NULL, -- the phone's own name for it
  academy_id TEXT NOT NULL REFERENCES academies (id),
  pitcher_id TEXT NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  bullpen_id TEXT REFERENCES bullpens (id) ON DELETE CASCADE, -- which its link named, NULL for none
  day        TEXT NOT NULL,    -- on the phone's calendar
  at         INTEGER NOT NULL, -- on the phone's clock, microseconds UTC
  revision   INTEGER NOT NULL, -- the phone's: the highest is how it is now
  undone     INTEGER NOT NULL,
  pitch      TEXT NOT NULL,
  reading    REAL,             -- NULL: the gun showed nothing
  unit       TEXT NOT NULL,
  called     TEXT NOT NULL,
  rep_id     TEXT REFERENCES reps (id) ON DELETE CASCADE, -- it is this rep's
  aside      INTEGER NOT NULL, -- somebody said that it is of no use
  PRIMARY KEY (academy_id, id)
) STRICT;
CREATE INDEX field_entries_by_lesson ON field_entries (pitcher_id, day, at);
CREATE INDEX field_entries_by_bullpen ON field_entries (bullpen_id);
CREATE INDEX field_entries_by_rep ON field_entries (rep_id);

-- Which reps a bullpen's entries belong to by their rhythm. It follows from what inputs
-- stands for; where that is not so any more it is looked for again.
CREATE TABLE field_matches (
  bullpen_id TEXT PRIMARY KEY REFERENCES bullpens (id) ON DELETE CASCADE,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  inputs     TEXT NOT NULL,
  found      TEXT NOT NULL -- JSON
) STRICT;
