-- In which words each purpose was asked for, see SQLite's.
ALTER TABLE consents ADD COLUMN wording TEXT COLLATE "C" NOT NULL DEFAULT '';
