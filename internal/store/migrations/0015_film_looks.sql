-- How many times slower than it is taken to play a film looks, 1 where nothing speaks
-- for it; and whether it is too short to tell a rep on it.
ALTER TABLE films ADD COLUMN found_slow REAL NOT NULL DEFAULT 1;
ALTER TABLE films ADD COLUMN too_short INTEGER NOT NULL DEFAULT 0;
