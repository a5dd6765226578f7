-- By which finder a film was searched, and how closely a rep's release is known, see SQLite's.
ALTER TABLE films ADD COLUMN finder BIGINT NOT NULL DEFAULT 0;
ALTER TABLE reps ADD COLUMN found_spread DOUBLE PRECISION;
UPDATE proposals SET instant = NULL, spread = NULL WHERE instant IS NOT NULL;
UPDATE reps SET found = NULL WHERE found IS NOT NULL;
