-- What a bullpen adds to what is followed over weeks, see SQLite's.
CREATE TABLE weeks (
  bullpen_id TEXT COLLATE "C" PRIMARY KEY REFERENCES bullpens (id) ON DELETE CASCADE,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  week       TEXT COLLATE "C" NOT NULL
);
