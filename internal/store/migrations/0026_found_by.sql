-- Whose marks a film's reps were found by, so that what would find nothing else is not
-- searched again; and by how many seconds its sound was accepted to lag its picture.
ALTER TABLE films ADD COLUMN found_by   TEXT NOT NULL DEFAULT '';
ALTER TABLE films ADD COLUMN sound_late REAL NOT NULL DEFAULT 0;
-- Of films that are here nobody knows by whose marks their reps were found: what no film's
-- marks are called has each searched once more when marks beside it change.
UPDATE films SET found_by = '?';
