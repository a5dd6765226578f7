-- Whose marks a film's reps were found by, so that what would find nothing else is not
-- searched again; and by how many seconds its sound was accepted to lag its picture.
ALTER TABLE films ADD COLUMN found_by   TEXT NOT NULL DEFAULT '';
ALTER TABLE films ADD COLUMN sound_late REAL NOT NULL DEFAULT 0;
