-- The SHA-256 of every file that was made, in hex, so that a copy of it can be checked;
-- '' of files that were made before it was kept, and of originals, whose film has it.
ALTER TABLE files ADD COLUMN sum TEXT NOT NULL DEFAULT '';
