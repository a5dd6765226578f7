-- Who has the turn of what only one program of several may do at a time, see SQLite's.
CREATE TABLE turns (
  name       TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  holder     TEXT COLLATE "C" NOT NULL,
  until      BIGINT NOT NULL,
  asked      TEXT COLLATE "C" NOT NULL
);
