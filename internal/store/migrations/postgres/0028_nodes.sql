-- What an academy of several machines and instructors needs, see SQLite's.
ALTER TABLE jobs ADD COLUMN errand TEXT COLLATE "C" NOT NULL DEFAULT '';

CREATE TABLE spent (
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  month      TEXT COLLATE "C" NOT NULL,
  kind       TEXT COLLATE "C" NOT NULL,
  jobs       BIGINT NOT NULL,
  processor  BIGINT NOT NULL,
  PRIMARY KEY (academy_id, month, kind)
);

CREATE TABLE attempts (
  door      TEXT COLLATE "C" NOT NULL,
  whose     BYTEA NOT NULL,
  remaining DOUBLE PRECISION NOT NULL,
  at        BIGINT NOT NULL,
  known     BIGINT NOT NULL,
  PRIMARY KEY (door, whose)
);
CREATE INDEX attempts_by_time ON attempts (at);

CREATE TABLE moves (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  pitcher_id TEXT COLLATE "C" NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  label      TEXT COLLATE "C" NOT NULL,
  other_id   TEXT COLLATE "C" REFERENCES accounts (id) ON DELETE SET NULL,
  came       BIGINT NOT NULL,
  created    BIGINT NOT NULL
);
CREATE INDEX moves_by_time ON moves (academy_id, created, id);
CREATE INDEX moves_by_pitcher ON moves (pitcher_id);
CREATE INDEX moves_by_account ON moves (other_id);
