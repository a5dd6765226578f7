-- What another instructor's settings and a guardian's yes do not reach, see SQLite's.
ALTER TABLE homeworks ADD COLUMN moved BIGINT NOT NULL DEFAULT 0;
ALTER TABLE consents ADD COLUMN given_to TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE bullpens ADD COLUMN eye DOUBLE PRECISION NOT NULL DEFAULT 0;
