-- How often a job was claimed, see SQLite's.
ALTER TABLE jobs ADD COLUMN claim BIGINT NOT NULL DEFAULT 0;
