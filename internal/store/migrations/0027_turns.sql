-- Who has the turn of what only one program of several may do at a time, and until when by
-- the clock that they have in common; asked says why another wants it.
CREATE TABLE turns (
  name       TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  holder     TEXT NOT NULL,
  until      INTEGER NOT NULL,
  asked      TEXT NOT NULL
) STRICT;
