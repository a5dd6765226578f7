-- How often a job was claimed, which only ever rises: by it a worker's word is known to be
-- that of whoever has the job. Attempts count anew when a job is asked for again, and one
-- that was interrupted does not count.
ALTER TABLE jobs ADD COLUMN claim INTEGER NOT NULL DEFAULT 0;
