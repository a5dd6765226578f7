-- What a guardian said yes to, and words about pain that were rubbed out, see SQLite's.
ALTER TABLE consents ADD COLUMN for_homework BIGINT NOT NULL DEFAULT 1;
ALTER TABLE consents ADD COLUMN for_results  BIGINT NOT NULL DEFAULT 1;
ALTER TABLE consents ADD COLUMN for_examples BIGINT NOT NULL DEFAULT 0;
UPDATE consents SET for_results = 0 WHERE covers = 'Films of her homework, seen by her instructor alone, and clips sent back to her.';
UPDATE consents SET for_homework = 0 WHERE covers = 'Her results and clips of single bullpens, shown by private links to her and her parents.';
UPDATE drills SET clip_id = NULL, version = version + 1 WHERE clip_id IS NOT NULL;
UPDATE shares SET closed = CASE WHEN closed = 0 THEN (extract(epoch FROM clock_timestamp()) * 1000000)::bigint ELSE closed END, restored = 0
  WHERE (closed = 0 OR restored = 1) AND bullpen_id IN (SELECT b.id FROM bullpens b
    WHERE NOT EXISTS (SELECT 1 FROM consents c WHERE c.pitcher_id = b.pitcher_id AND c.withdrawn = 0 AND c.for_results = 1));
UPDATE slips SET closed = CASE WHEN closed = 0 THEN (extract(epoch FROM clock_timestamp()) * 1000000)::bigint ELSE closed END, restored = 0
  WHERE (closed = 0 OR restored = 1) AND homework_id IN (SELECT h.id FROM homeworks h
    WHERE NOT EXISTS (SELECT 1 FROM consents c WHERE c.pitcher_id = h.pitcher_id AND c.withdrawn = 0 AND c.for_homework = 1));

ALTER TABLE homeworks DROP COLUMN settled;
ALTER TABLE homeworks ADD COLUMN settled BIGINT GENERATED ALWAYS AS (CASE WHEN coalesce((sent ->> 'sentAt')::bigint, 0) > 0
    AND greatest(film_at, coalesce((student ->> 'NotedAt')::bigint, 0), coalesce((student ->> 'PainAt')::bigint, 0)) <= greatest(review_at, coalesce(nullif((sent ->> 'seen')::bigint, 0), (sent ->> 'sentAt')::bigint))
    AND greatest((sent ->> 'sentAt')::bigint, coalesce((sent ->> 'seen')::bigint, 0)) >= review_at THEN 1 ELSE 0 END) STORED;
CREATE INDEX homeworks_settled ON homeworks (academy_id, settled, created DESC, id DESC);
