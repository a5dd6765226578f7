-- What was accepted is kept as it was from each version of the rep on, so that undo can
-- bring back how marks counted; what was kept until now holds from the beginning.
CREATE TABLE accepted_then (
  rep_id     TEXT NOT NULL REFERENCES reps (id) ON DELETE CASCADE,
  version    INTEGER NOT NULL, -- of the rep: from it on, until the next one
  academy_id TEXT NOT NULL REFERENCES academies (id),
  drive      INTEGER NOT NULL,
  plant      INTEGER NOT NULL,
  top        INTEGER NOT NULL,
  PRIMARY KEY (rep_id, version)
) STRICT;
INSERT INTO accepted_then (rep_id, version, academy_id, drive, plant, top) SELECT rep_id, 0, academy_id, drive, plant, top FROM accepted;
DROP TABLE accepted;
ALTER TABLE accepted_then RENAME TO accepted;
