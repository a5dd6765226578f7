-- Those never judged come first, see SQLite's.
DROP INDEX bullpens_unjudged;
CREATE INDEX bullpens_unjudged ON bullpens (academy_id, judged) WHERE judged <> revision;
