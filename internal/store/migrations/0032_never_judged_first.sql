-- Those never judged come first, and are found in that order: PostgreSQL takes nearly all
-- bullpens for unjudged, and without an order went through the table to find the first.
DROP INDEX bullpens_unjudged;
CREATE INDEX bullpens_unjudged ON bullpens (academy_id, judged) WHERE judged <> revision;
