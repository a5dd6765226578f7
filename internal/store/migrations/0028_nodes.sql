-- What an academy of several machines and instructors needs.

-- Which request a job follows from: one word finds both in the logs of all machines.
ALTER TABLE jobs ADD COLUMN errand TEXT NOT NULL DEFAULT '';

-- How much processor an academy's jobs took, for its owner.
CREATE TABLE spent (
  academy_id TEXT NOT NULL REFERENCES academies (id),
  month      TEXT NOT NULL, -- "2026-04", UTC
  kind       TEXT NOT NULL, -- of job
  jobs       INTEGER NOT NULL, -- attempts that came to an end
  processor  INTEGER NOT NULL, -- microseconds
  PRIMARY KEY (academy_id, month, kind)
) STRICT;

-- Attempts at passphrases that are left, counted for all machines together. They belong to
-- whoever tries, who is in no academy yet.
CREATE TABLE attempts (
  door      TEXT NOT NULL, -- where it is tried
  whose     BLOB NOT NULL, -- SHA-256 of the address it is tried from; that of "" for all together
  remaining REAL NOT NULL,
  at        INTEGER NOT NULL, -- when so many were left, microseconds UTC
  known     INTEGER NOT NULL, -- a right passphrase came from there
  PRIMARY KEY (door, whose)
) STRICT;
CREATE INDEX attempts_by_time ON attempts (at);

-- What an instructor is told of a pitcher who went to another, or came from one.
CREATE TABLE moves (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id), -- who is told
  pitcher_id TEXT NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  label      TEXT NOT NULL, -- as she was called then
  other_id   TEXT REFERENCES accounts (id) ON DELETE SET NULL, -- to or from whom
  came       INTEGER NOT NULL, -- 1: she came; 0: she went
  created    INTEGER NOT NULL
) STRICT;
CREATE INDEX moves_by_time ON moves (academy_id, created, id);
CREATE INDEX moves_by_pitcher ON moves (pitcher_id);
CREATE INDEX moves_by_account ON moves (other_id);
