-- Where her joints are in the frames round deliveries, one row a run of frames; packed
-- as posture.Track does. They go with their film.
CREATE TABLE joints (
  film_id    TEXT NOT NULL REFERENCES films (id) ON DELETE CASCADE,
  first      INTEGER NOT NULL, -- frame indices
  last       INTEGER NOT NULL,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  version    INTEGER NOT NULL, -- of how they were found
  poses      BLOB NOT NULL,
  PRIMARY KEY (film_id, first)
) STRICT, WITHOUT ROWID;
