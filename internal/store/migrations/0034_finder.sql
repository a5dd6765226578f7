-- Which version of the finder a film's reps were last looked for by, 0 for one from before
-- that was kept: a film that an older one searched is searched again, its traces being here.
-- And how closely the release is known that is kept with a rep, real seconds.
ALTER TABLE films ADD COLUMN finder INTEGER NOT NULL DEFAULT 0;
ALTER TABLE reps ADD COLUMN found_spread REAL;
-- What older finders put between frames may lie up to 0.2 s off, and nobody knows which: until
-- its film is searched again nothing of it counts. Marks, and what was decided, stay.
UPDATE proposals SET instant = NULL, spread = NULL WHERE instant IS NOT NULL;
UPDATE reps SET found = NULL WHERE found IS NOT NULL;
