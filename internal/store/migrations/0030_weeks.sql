-- What a bullpen adds to what is followed over weeks, JSON, made with its verdicts and
-- believed as those are: her page need not judge a year anew. It has a table of its own so
-- that raising a bullpen's revision does not write it again.
CREATE TABLE weeks (
  bullpen_id TEXT PRIMARY KEY REFERENCES bullpens (id) ON DELETE CASCADE,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  week       TEXT NOT NULL
) STRICT, WITHOUT ROWID;
