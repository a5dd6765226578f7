-- What a guardian said yes to, see SQLite's.
ALTER TABLE consents ADD COLUMN for_homework BIGINT NOT NULL DEFAULT 1;
ALTER TABLE consents ADD COLUMN for_results  BIGINT NOT NULL DEFAULT 1;
ALTER TABLE consents ADD COLUMN for_examples BIGINT NOT NULL DEFAULT 0;
UPDATE consents SET for_results = 0 WHERE covers = 'Films of her homework, seen by her instructor alone, and clips sent back to her.';
UPDATE consents SET for_homework = 0 WHERE covers = 'Her results and clips of single bullpens, shown by private links to her and her parents.';
