-- What a guardian said yes to. Until now each consent opened everything. In the form's own
-- words it was for one of them; in somebody else's words it goes on for both of hers, and
-- for examples, which others see, it has to be asked anew. Links that are open stay open.
ALTER TABLE consents ADD COLUMN for_homework INTEGER NOT NULL DEFAULT 1;
ALTER TABLE consents ADD COLUMN for_results  INTEGER NOT NULL DEFAULT 1;
ALTER TABLE consents ADD COLUMN for_examples INTEGER NOT NULL DEFAULT 0;
UPDATE consents SET for_results = 0 WHERE covers = 'Films of her homework, seen by her instructor alone, and clips sent back to her.';
UPDATE consents SET for_homework = 0 WHERE covers = 'Her results and clips of single bullpens, shown by private links to her and her parents.';
