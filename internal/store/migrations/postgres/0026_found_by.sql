-- Whose marks a film's reps were found by, and how late its sound is, see SQLite's.
ALTER TABLE films ADD COLUMN found_by   TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE films ADD COLUMN sound_late DOUBLE PRECISION NOT NULL DEFAULT 0;
