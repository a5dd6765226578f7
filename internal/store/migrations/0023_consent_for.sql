-- What a guardian said yes to. Until now each consent opened everything. In the form's own
-- words it was for one of them; in somebody else's words it goes on for both of hers, and
-- for examples, which others see, it has to be asked anew: none is shown until then. Links
-- that no consent stands for any more are closed, as withdrawing one closes them.
ALTER TABLE consents ADD COLUMN for_homework INTEGER NOT NULL DEFAULT 1;
ALTER TABLE consents ADD COLUMN for_results  INTEGER NOT NULL DEFAULT 1;
ALTER TABLE consents ADD COLUMN for_examples INTEGER NOT NULL DEFAULT 0;
UPDATE consents SET for_results = 0 WHERE covers = 'Films of her homework, seen by her instructor alone, and clips sent back to her.';
UPDATE consents SET for_homework = 0 WHERE covers = 'Her results and clips of single bullpens, shown by private links to her and her parents.';
UPDATE drills SET clip_id = NULL, version = version + 1 WHERE clip_id IS NOT NULL;
UPDATE shares SET closed = CASE WHEN closed = 0 THEN CAST(strftime('%s', 'now') AS INTEGER) * 1000000 ELSE closed END, restored = 0
  WHERE (closed = 0 OR restored = 1) AND bullpen_id IN (SELECT b.id FROM bullpens b
    WHERE NOT EXISTS (SELECT 1 FROM consents c WHERE c.pitcher_id = b.pitcher_id AND c.withdrawn = 0 AND c.for_results = 1));
UPDATE slips SET closed = CASE WHEN closed = 0 THEN CAST(strftime('%s', 'now') AS INTEGER) * 1000000 ELSE closed END, restored = 0
  WHERE (closed = 0 OR restored = 1) AND homework_id IN (SELECT h.id FROM homeworks h
    WHERE NOT EXISTS (SELECT 1 FROM consents c WHERE c.pitcher_id = h.pitcher_id AND c.withdrawn = 0 AND c.for_homework = 1));

-- Words about pain that she rubbed out came too, and wait for an answer.
DROP INDEX homeworks_settled;
ALTER TABLE homeworks DROP COLUMN settled;
ALTER TABLE homeworks ADD COLUMN settled INTEGER GENERATED ALWAYS AS (
  coalesce(json_extract(sent, '$.sentAt'), 0) > 0
  AND max(film_at, coalesce(json_extract(student, '$.NotedAt'), 0), coalesce(json_extract(student, '$.PainAt'), 0)) <= max(review_at, coalesce(nullif(json_extract(sent, '$.seen'), 0), json_extract(sent, '$.sentAt')))
  AND max(json_extract(sent, '$.sentAt'), coalesce(json_extract(sent, '$.seen'), 0)) >= review_at) VIRTUAL;
CREATE INDEX homeworks_settled ON homeworks (academy_id, settled, created DESC, id DESC);
