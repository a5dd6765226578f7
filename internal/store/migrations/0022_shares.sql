-- A private link to what one bullpen tells, for the pitcher and her parents.
CREATE TABLE shares (
  id         TEXT PRIMARY KEY,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  bullpen_id TEXT NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  token      BLOB NOT NULL UNIQUE, -- SHA-256 of it; the token itself is kept nowhere
  created    INTEGER NOT NULL,
  expires    INTEGER NOT NULL,
  closed     INTEGER NOT NULL, -- when, 0 while it is not
  restored   INTEGER NOT NULL, -- it was closed because a backup was brought back
  last_used  INTEGER NOT NULL
) STRICT;
CREATE INDEX shares_by_bullpen ON shares (bullpen_id, created DESC, id DESC);

-- The clips that were chosen to be seen there.
CREATE TABLE shared_clips (
  share_id   TEXT NOT NULL REFERENCES shares (id) ON DELETE CASCADE,
  clip_id    TEXT NOT NULL REFERENCES clips (id) ON DELETE CASCADE,
  academy_id TEXT NOT NULL REFERENCES academies (id),
  place      INTEGER NOT NULL, -- as they were chosen, from 0
  PRIMARY KEY (share_id, clip_id)
) STRICT;
CREATE INDEX shared_clips_by_clip ON shared_clips (clip_id);
