-- Where the pitcher is in a film's picture, as JSON in shares of it: as found, and
-- as somebody put it right. '' for not known.
ALTER TABLE films ADD COLUMN found_box TEXT NOT NULL DEFAULT '';
ALTER TABLE films ADD COLUMN box TEXT NOT NULL DEFAULT '';

-- Found before any release of the film was marked: the release is a guess.
ALTER TABLE proposals ADD COLUMN rough INTEGER NOT NULL DEFAULT 1;
