-- What an instructor's own settings and a guardian's yes to her do not reach once a pitcher
-- came from another instructor.

-- When her pitcher moved after the answer: an answer since then lets its originals go.
ALTER TABLE homeworks ADD COLUMN moved INTEGER NOT NULL DEFAULT 0;
-- To which instructor a guardian said yes whose pitcher she is no more: it counts for nobody
-- else. '' while it is hers.
ALTER TABLE consents ADD COLUMN given_to TEXT NOT NULL DEFAULT '';
-- How closely whoever marked it before it moved marks, seconds, the widest; 0: it never moved.
ALTER TABLE bullpens ADD COLUMN eye REAL NOT NULL DEFAULT 0;
