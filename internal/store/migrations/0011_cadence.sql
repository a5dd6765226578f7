-- How a film that was searched had been re-timed, see bullpen.Cadence: a picture's frame
-- and when it was taken follow from it. cadence 0: it had not been, or nobody looked.
ALTER TABLE followed ADD COLUMN step REAL NOT NULL DEFAULT 0;
ALTER TABLE followed ADD COLUMN cadence INTEGER NOT NULL DEFAULT 0;
ALTER TABLE followed ADD COLUMN repeats INTEGER NOT NULL DEFAULT 0;
ALTER TABLE followed ADD COLUMN skips INTEGER NOT NULL DEFAULT 0;
