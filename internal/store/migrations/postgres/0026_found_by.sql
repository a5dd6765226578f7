-- Whose marks a film's reps were found by, and how late its sound is, see SQLite's.
ALTER TABLE films ADD COLUMN found_by   TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE films ADD COLUMN sound_late DOUBLE PRECISION NOT NULL DEFAULT 0;
-- Of films that are here nobody knows by whose marks their reps were found: what no film's
-- marks are called has each searched once more when marks beside it change.
UPDATE films SET found_by = '?';
