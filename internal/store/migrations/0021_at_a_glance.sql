-- What a bullpen tells at a glance, for lists: JSON, made together with its reps'
-- verdicts and believed as those are. asked is how many readings wait for an answer.
ALTER TABLE bullpens ADD COLUMN glance TEXT NOT NULL DEFAULT '';
ALTER TABLE bullpens ADD COLUMN asked INTEGER NOT NULL DEFAULT 0;
UPDATE bullpens SET judged = 0;
CREATE INDEX bullpens_asked ON bullpens (academy_id, day DESC, created DESC, id DESC) WHERE asked > 0;
-- Whether an answer stands for all that came, as Homework.State says it, so that the
-- first page need not read what was settled long ago.
ALTER TABLE homeworks ADD COLUMN settled INTEGER GENERATED ALWAYS AS (
  coalesce(json_extract(sent, '$.sentAt'), 0) > 0
  AND max(film_at, coalesce(json_extract(student, '$.NotedAt'), 0)) <= max(review_at, coalesce(nullif(json_extract(sent, '$.seen'), 0), json_extract(sent, '$.sentAt')))
  AND max(json_extract(sent, '$.sentAt'), coalesce(json_extract(sent, '$.seen'), 0)) >= review_at) VIRTUAL;
CREATE INDEX homeworks_settled ON homeworks (academy_id, settled, created DESC, id DESC);
