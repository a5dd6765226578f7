-- In which words each purpose was asked for when a guardian said yes, a line for each; those
-- of consents before this were not kept, and are not guessed.
ALTER TABLE consents ADD COLUMN wording TEXT NOT NULL DEFAULT '';
