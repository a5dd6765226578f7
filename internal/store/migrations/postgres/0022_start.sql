-- What the migrations of SQLite lead to up to the one of the same number, which say what
-- each column is for. A text is ordered byte by byte, as the cursors of lists expect it;
-- JSON is a text too, kept letter by letter, that statements look into.
CREATE COLLATION nocase (provider = icu, locale = 'und-u-ks-level2', deterministic = false);

CREATE TABLE academies (
  id      TEXT COLLATE "C" PRIMARY KEY,
  created BIGINT NOT NULL
);

CREATE TABLE pitchers (
  id             TEXT COLLATE "C" PRIMARY KEY,
  academy_id     TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  version        BIGINT NOT NULL,
  created        BIGINT NOT NULL,
  label          TEXT COLLATE "C" NOT NULL,
  hand           TEXT COLLATE "C" NOT NULL,
  level          TEXT COLLATE "C" NOT NULL,
  distance_feet  DOUBLE PRECISION NOT NULL,
  ball_kind      TEXT COLLATE "C" NOT NULL,
  baseline_pitch TEXT COLLATE "C" NOT NULL,
  policy         TEXT COLLATE "C" NOT NULL,
  typed_baseline DOUBLE PRECISION NOT NULL,
  gun_tolerance  DOUBLE PRECISION NOT NULL,
  bands          TEXT COLLATE "C" NOT NULL,
  trust_rule     TEXT COLLATE "C" NOT NULL,
  unit           TEXT COLLATE "C" NOT NULL,
  extension_feet DOUBLE PRECISION,
  typed_gun      TEXT COLLATE "C" NOT NULL DEFAULT '',
  typed_within   DOUBLE PRECISION,
  language       TEXT COLLATE "C" NOT NULL DEFAULT 'en' CHECK (language IN ('en', 'es'))
);
CREATE INDEX pitchers_by_label ON pitchers (academy_id, label COLLATE nocase, id);

CREATE TABLE bullpens (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  pitcher_id TEXT COLLATE "C" NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  version    BIGINT NOT NULL,
  revision   BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  day        TEXT COLLATE "C" NOT NULL,
  day_said   BIGINT NOT NULL,
  title      TEXT COLLATE "C" NOT NULL,
  gun        TEXT COLLATE "C" NOT NULL,
  unit       TEXT COLLATE "C" NOT NULL,
  step       DOUBLE PRECISION NOT NULL,
  note       TEXT COLLATE "C" NOT NULL,
  arranged   BIGINT NOT NULL DEFAULT 0,
  reps       BIGINT NOT NULL DEFAULT 0,
  readings   BIGINT NOT NULL DEFAULT 0,
  warm_ups   BIGINT NOT NULL DEFAULT 0,
  judged     BIGINT NOT NULL DEFAULT 0,
  gun_name   TEXT COLLATE "C" NOT NULL DEFAULT '',
  glance     TEXT COLLATE "C" NOT NULL DEFAULT '',
  asked      BIGINT NOT NULL DEFAULT 0
);
CREATE INDEX bullpens_by_day ON bullpens (academy_id, day DESC, created DESC, id DESC);
CREATE INDEX bullpens_by_pitcher ON bullpens (pitcher_id, day DESC, created DESC, id DESC, academy_id, reps, warm_ups);
CREATE INDEX bullpens_unjudged ON bullpens (academy_id) WHERE judged <> revision;
CREATE INDEX bullpens_asked ON bullpens (academy_id, day DESC, created DESC, id DESC) WHERE asked > 0;

CREATE TABLE films (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  bullpen_id TEXT COLLATE "C" NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  version    BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  name       TEXT COLLATE "C" NOT NULL,
  sha256     TEXT COLLATE "C" NOT NULL,
  bytes      BIGINT NOT NULL,
  state      TEXT COLLATE "C" NOT NULL,
  refusal    TEXT COLLATE "C" NOT NULL,
  position   BIGINT NOT NULL,
  recorded   BIGINT NOT NULL,
  width      BIGINT NOT NULL,
  height     BIGINT NOT NULL,
  codec      TEXT COLLATE "C" NOT NULL,
  hdr        BIGINT NOT NULL,
  has_sound  BIGINT NOT NULL,
  clock_num  BIGINT NOT NULL,
  clock_den  BIGINT NOT NULL,
  ticks      BYTEA NOT NULL,
  slow       DOUBLE PRECISION NOT NULL,
  slow_known BIGINT NOT NULL,
  view       TEXT COLLATE "C" NOT NULL,
  made       JSON NOT NULL,
  found_box  TEXT COLLATE "C" NOT NULL DEFAULT '',
  box        TEXT COLLATE "C" NOT NULL DEFAULT '',
  found_slow DOUBLE PRECISION NOT NULL DEFAULT 1,
  too_short  BIGINT NOT NULL DEFAULT 0
);
CREATE INDEX films_by_bullpen ON films (bullpen_id, position, id);
CREATE UNIQUE INDEX films_once ON films (bullpen_id, sha256) WHERE state <> 'refused';
CREATE INDEX films_unsettled ON films (academy_id, state) WHERE state <> 'ready';

CREATE TABLE reps (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  bullpen_id TEXT COLLATE "C" NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  pitcher_id TEXT COLLATE "C" NOT NULL,
  day        TEXT COLLATE "C" NOT NULL,
  version    BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  deleted    BIGINT NOT NULL,
  film_id    TEXT COLLATE "C" REFERENCES films (id) ON DELETE SET NULL,
  drive      BIGINT NOT NULL,
  plant      BIGINT NOT NULL,
  top        BIGINT NOT NULL,
  "release"  BIGINT NOT NULL,
  place      BIGINT NOT NULL,
  pitch      TEXT COLLATE "C" NOT NULL,
  reading    DOUBLE PRECISION,
  unit       TEXT COLLATE "C" NOT NULL,
  step       DOUBLE PRECISION NOT NULL,
  gun        TEXT COLLATE "C" NOT NULL,
  drill      TEXT COLLATE "C" NOT NULL,
  set_number BIGINT NOT NULL,
  number     BIGINT NOT NULL,
  called     TEXT COLLATE "C" NOT NULL,
  warm_up    BIGINT NOT NULL,
  note       TEXT COLLATE "C" NOT NULL,
  revised    BIGINT NOT NULL DEFAULT 0,
  sent_as    TEXT COLLATE "C" NOT NULL DEFAULT '',
  begun      BIGINT NOT NULL DEFAULT 0,
  found      DOUBLE PRECISION,
  verdict    TEXT COLLATE "C" NOT NULL DEFAULT '',
  sure       BIGINT NOT NULL DEFAULT 0
);
CREATE INDEX reps_by_bullpen ON reps (bullpen_id, deleted, place, id);
CREATE INDEX reps_by_film ON reps (film_id, deleted);
CREATE INDEX reps_taken_out ON reps (deleted) WHERE deleted > 0;
CREATE INDEX reps_timed ON reps (pitcher_id, bullpen_id) WHERE deleted = 0 AND drive >= 0;
CREATE INDEX reps_revised ON reps (bullpen_id, revised);
CREATE UNIQUE INDEX reps_once ON reps (bullpen_id, sent_as) WHERE sent_as <> '';
CREATE INDEX reps_by_pitcher ON reps (pitcher_id, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
CREATE INDEX reps_by_pitcher_pitch ON reps (pitcher_id, pitch, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
CREATE INDEX reps_by_day ON reps (academy_id, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
CREATE INDEX reps_by_pitch ON reps (academy_id, pitch, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
CREATE INDEX reps_by_verdict ON reps (academy_id, verdict, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC, pitcher_id, pitch) WHERE deleted = 0 AND verdict <> '';

CREATE TABLE proposals (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  film_id    TEXT COLLATE "C" NOT NULL REFERENCES films (id) ON DELETE CASCADE,
  version    BIGINT NOT NULL,
  from_frame BIGINT NOT NULL,
  to_frame   BIGINT NOT NULL,
  "release"  BIGINT NOT NULL,
  confidence DOUBLE PRECISION NOT NULL,
  reason     TEXT COLLATE "C" NOT NULL,
  state      TEXT COLLATE "C" NOT NULL,
  rep_id     TEXT COLLATE "C" REFERENCES reps (id) ON DELETE SET NULL,
  rough      BIGINT NOT NULL DEFAULT 1,
  instant    DOUBLE PRECISION
);
CREATE INDEX proposals_by_film ON proposals (film_id, "release", id);
CREATE INDEX proposals_by_rep ON proposals (rep_id);

CREATE TABLE levels (
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  key        TEXT COLLATE "C" NOT NULL,
  version    BIGINT NOT NULL,
  edited     TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (academy_id, key)
);

CREATE TABLE settings (
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  name       TEXT COLLATE "C" NOT NULL,
  value      TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (academy_id, name)
);

CREATE TABLE jobs (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  bullpen_id TEXT COLLATE "C" NOT NULL,
  kind       TEXT COLLATE "C" NOT NULL,
  subject    TEXT COLLATE "C" NOT NULL,
  payload    TEXT COLLATE "C" NOT NULL,
  state      TEXT COLLATE "C" NOT NULL,
  progress   DOUBLE PRECISION NOT NULL,
  problem    TEXT COLLATE "C" NOT NULL,
  attempts   BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  changed    BIGINT NOT NULL,
  lease      BIGINT NOT NULL,
  cancelling BIGINT NOT NULL
);
CREATE INDEX jobs_waiting ON jobs (created, id) WHERE state IN ('queued', 'running');
CREATE UNIQUE INDEX jobs_once ON jobs (kind, subject) WHERE state = 'queued' AND subject <> '';
CREATE INDEX jobs_by_subject ON jobs (subject, state);
CREATE INDEX jobs_by_bullpen ON jobs (bullpen_id, created, id) WHERE state <> 'done';
CREATE INDEX jobs_unfinished ON jobs (academy_id, created, id) WHERE state <> 'done';

CREATE TABLE instants (
  rep_id        TEXT COLLATE "C" PRIMARY KEY REFERENCES reps (id) ON DELETE CASCADE,
  academy_id    TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  film_id       TEXT COLLATE "C" NOT NULL REFERENCES films (id) ON DELETE CASCADE,
  mark          BIGINT NOT NULL,
  slow          DOUBLE PRECISION NOT NULL,
  trace         BIGINT NOT NULL,
  drive         DOUBLE PRECISION NOT NULL,
  drive_match   DOUBLE PRECISION NOT NULL,
  drive_sure    BIGINT NOT NULL,
  plant         DOUBLE PRECISION NOT NULL,
  plant_match   DOUBLE PRECISION NOT NULL,
  plant_sure    BIGINT NOT NULL,
  top           DOUBLE PRECISION NOT NULL,
  top_match     DOUBLE PRECISION NOT NULL,
  top_sure      BIGINT NOT NULL,
  "release"     DOUBLE PRECISION NOT NULL,
  release_match DOUBLE PRECISION NOT NULL,
  release_sure  BIGINT NOT NULL,
  stretch       DOUBLE PRECISION NOT NULL,
  whole_match   DOUBLE PRECISION NOT NULL
);
CREATE INDEX instants_by_film ON instants (film_id);

CREATE TABLE followed (
  film_id    TEXT COLLATE "C" PRIMARY KEY REFERENCES films (id) ON DELETE CASCADE,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  inputs     TEXT COLLATE "C" NOT NULL,
  refusal    TEXT COLLATE "C" NOT NULL,
  doubled    DOUBLE PRECISION NOT NULL,
  step       DOUBLE PRECISION NOT NULL DEFAULT 0,
  cadence    BIGINT NOT NULL DEFAULT 0,
  repeats    BIGINT NOT NULL DEFAULT 0,
  skips      BIGINT NOT NULL DEFAULT 0
);

CREATE TABLE workouts (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  version    BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  body       TEXT COLLATE "C" NOT NULL
);
CREATE INDEX workouts_by_time ON workouts (academy_id, created DESC, id DESC);

CREATE TABLE consents (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  pitcher_id TEXT COLLATE "C" NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  created    BIGINT NOT NULL,
  guardian   TEXT COLLATE "C" NOT NULL,
  given      TEXT COLLATE "C" NOT NULL,
  covers     TEXT COLLATE "C" NOT NULL,
  withdrawn  BIGINT NOT NULL
);
CREATE INDEX consents_by_pitcher ON consents (pitcher_id, created DESC, id DESC);

CREATE TABLE homeworks (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  pitcher_id TEXT COLLATE "C" NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  bullpen_id TEXT COLLATE "C" NOT NULL UNIQUE REFERENCES bullpens (id) ON DELETE CASCADE,
  version    BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  workout    TEXT COLLATE "C" NOT NULL,
  drills     TEXT COLLATE "C" NOT NULL,
  due        TEXT COLLATE "C" NOT NULL,
  student    JSON NOT NULL,
  draft      TEXT COLLATE "C" NOT NULL,
  sent       JSON NOT NULL,
  film_at    BIGINT NOT NULL,
  review_at  BIGINT NOT NULL,
  trimmed    BIGINT NOT NULL,
  settled    BIGINT GENERATED ALWAYS AS (CASE WHEN coalesce((sent ->> 'sentAt')::bigint, 0) > 0
    AND greatest(film_at, coalesce((student ->> 'NotedAt')::bigint, 0)) <= greatest(review_at, coalesce(nullif((sent ->> 'seen')::bigint, 0), (sent ->> 'sentAt')::bigint))
    AND greatest((sent ->> 'sentAt')::bigint, coalesce((sent ->> 'seen')::bigint, 0)) >= review_at THEN 1 ELSE 0 END) STORED
);
CREATE INDEX homeworks_by_time ON homeworks (academy_id, created DESC, id DESC);
CREATE INDEX homeworks_by_pitcher ON homeworks (pitcher_id, created DESC, id DESC);
CREATE INDEX homeworks_settled ON homeworks (academy_id, settled, created DESC, id DESC);

CREATE TABLE clips (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  bullpen_id TEXT COLLATE "C" NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  created    BIGINT NOT NULL,
  kind       TEXT COLLATE "C" NOT NULL,
  rep_id     TEXT COLLATE "C" NOT NULL REFERENCES reps (id) ON DELETE CASCADE,
  other_id   TEXT COLLATE "C" REFERENCES reps (id) ON DELETE CASCADE,
  options    TEXT COLLATE "C" NOT NULL,
  shows      TEXT COLLATE "C" NOT NULL,
  state      TEXT COLLATE "C" NOT NULL,
  problem    TEXT COLLATE "C" NOT NULL,
  file_name  TEXT COLLATE "C" NOT NULL,
  bytes      BIGINT NOT NULL,
  seconds    DOUBLE PRECISION NOT NULL,
  release_at DOUBLE PRECISION NOT NULL,
  made       TEXT COLLATE "C" NOT NULL,
  job_id     TEXT COLLATE "C" NOT NULL,
  sent_with  TEXT COLLATE "C" REFERENCES homeworks (id) ON DELETE CASCADE
);
CREATE INDEX clips_by_bullpen ON clips (bullpen_id, created, id);
CREATE INDEX clips_by_rep ON clips (rep_id);
CREATE INDEX clips_by_other ON clips (other_id);
CREATE INDEX clips_by_answer ON clips (sent_with) WHERE sent_with IS NOT NULL;

CREATE TABLE files (
  key        TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  film_id    TEXT COLLATE "C" REFERENCES films (id) ON DELETE SET NULL,
  clip_id    TEXT COLLATE "C" REFERENCES clips (id) ON DELETE SET NULL,
  bytes      BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  sum        TEXT COLLATE "C" NOT NULL DEFAULT ''
);
CREATE INDEX files_by_film ON files (film_id);
CREATE INDEX files_by_clip ON files (clip_id);

CREATE TABLE drills (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  version    BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  name       TEXT COLLATE "C" NOT NULL,
  how_to     TEXT COLLATE "C" NOT NULL,
  clip_id    TEXT COLLATE "C" REFERENCES clips (id) ON DELETE SET NULL
);
CREATE UNIQUE INDEX drills_by_name ON drills (academy_id, name COLLATE nocase);
CREATE INDEX drills_by_clip ON drills (clip_id);

CREATE TABLE slips (
  id          TEXT COLLATE "C" PRIMARY KEY,
  academy_id  TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  homework_id TEXT COLLATE "C" NOT NULL REFERENCES homeworks (id) ON DELETE CASCADE,
  token       BYTEA NOT NULL UNIQUE,
  created     BIGINT NOT NULL,
  expires     BIGINT NOT NULL,
  closed      BIGINT NOT NULL,
  last_used   BIGINT NOT NULL,
  max_bytes   BIGINT NOT NULL,
  max_files   BIGINT NOT NULL,
  restored    BIGINT NOT NULL DEFAULT 0
);
CREATE INDEX slips_by_homework ON slips (homework_id, created DESC, id DESC);

CREATE TABLE laid (
  rep_id     TEXT COLLATE "C" PRIMARY KEY REFERENCES reps (id) ON DELETE CASCADE,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  shift      BIGINT NOT NULL,
  place      BIGINT NOT NULL,
  set_number BIGINT NOT NULL,
  number     BIGINT NOT NULL,
  drill      TEXT COLLATE "C" NOT NULL,
  pitch      TEXT COLLATE "C" NOT NULL,
  reading    DOUBLE PRECISION,
  unit       TEXT COLLATE "C" NOT NULL
);

CREATE TABLE drawings (
  rep_id     TEXT COLLATE "C" NOT NULL REFERENCES reps (id) ON DELETE CASCADE,
  frame      BIGINT NOT NULL,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  version    BIGINT NOT NULL,
  changed    BIGINT NOT NULL,
  shapes     TEXT COLLATE "C" NOT NULL,
  PRIMARY KEY (rep_id, frame)
);

CREATE TABLE accounts (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  version    BIGINT NOT NULL,
  created    BIGINT NOT NULL,
  name       TEXT COLLATE "C" NOT NULL,
  passphrase TEXT COLLATE "C" NOT NULL,
  owner      BIGINT NOT NULL
);
CREATE UNIQUE INDEX accounts_by_name ON accounts (name COLLATE nocase);
CREATE INDEX accounts_by_academy ON accounts (academy_id);

CREATE TABLE sessions (
  token      BYTEA PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  account_id TEXT COLLATE "C" NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
  created    BIGINT NOT NULL,
  expires    BIGINT NOT NULL
);
CREATE INDEX sessions_by_account ON sessions (account_id);
CREATE INDEX sessions_by_expiry ON sessions (expires);

CREATE TABLE accepted (
  rep_id     TEXT COLLATE "C" NOT NULL REFERENCES reps (id) ON DELETE CASCADE,
  version    BIGINT NOT NULL,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  drive      BIGINT NOT NULL,
  plant      BIGINT NOT NULL,
  top        BIGINT NOT NULL,
  PRIMARY KEY (rep_id, version)
);

CREATE TABLE field_links (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  bullpen_id TEXT COLLATE "C" REFERENCES bullpens (id) ON DELETE CASCADE,
  token      BYTEA NOT NULL UNIQUE,
  created    BIGINT NOT NULL,
  expires    BIGINT NOT NULL,
  closed     BIGINT NOT NULL,
  last_used  BIGINT NOT NULL
);
CREATE INDEX field_links_by_time ON field_links (academy_id, created DESC, id DESC);
CREATE INDEX field_links_by_bullpen ON field_links (bullpen_id);

CREATE TABLE field_joins (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  bullpen_id TEXT COLLATE "C" NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  created    BIGINT NOT NULL,
  body       TEXT COLLATE "C" NOT NULL
);
CREATE INDEX field_joins_by_bullpen ON field_joins (bullpen_id, created DESC);

CREATE TABLE field_entries (
  id         TEXT COLLATE "C" NOT NULL,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  pitcher_id TEXT COLLATE "C" NOT NULL REFERENCES pitchers (id) ON DELETE CASCADE,
  bullpen_id TEXT COLLATE "C" REFERENCES bullpens (id) ON DELETE CASCADE,
  day        TEXT COLLATE "C" NOT NULL,
  at         BIGINT NOT NULL,
  revision   BIGINT NOT NULL,
  undone     BIGINT NOT NULL,
  pitch      TEXT COLLATE "C" NOT NULL,
  reading    DOUBLE PRECISION,
  unit       TEXT COLLATE "C" NOT NULL,
  called     TEXT COLLATE "C" NOT NULL,
  rep_id     TEXT COLLATE "C" REFERENCES reps (id) ON DELETE CASCADE,
  aside      BIGINT NOT NULL,
  PRIMARY KEY (academy_id, id)
);
CREATE INDEX field_entries_by_lesson ON field_entries (pitcher_id, day, at);
CREATE INDEX field_entries_by_bullpen ON field_entries (bullpen_id);
CREATE INDEX field_entries_by_rep ON field_entries (rep_id);

CREATE TABLE field_matches (
  bullpen_id TEXT COLLATE "C" PRIMARY KEY REFERENCES bullpens (id) ON DELETE CASCADE,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  inputs     TEXT COLLATE "C" NOT NULL,
  found      TEXT COLLATE "C" NOT NULL
);

CREATE TABLE joints (
  film_id    TEXT COLLATE "C" NOT NULL REFERENCES films (id) ON DELETE CASCADE,
  first      BIGINT NOT NULL,
  last       BIGINT NOT NULL,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  version    BIGINT NOT NULL,
  poses      BYTEA NOT NULL,
  PRIMARY KEY (film_id, first)
);

CREATE TABLE shares (
  id         TEXT COLLATE "C" PRIMARY KEY,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  bullpen_id TEXT COLLATE "C" NOT NULL REFERENCES bullpens (id) ON DELETE CASCADE,
  token      BYTEA NOT NULL UNIQUE,
  created    BIGINT NOT NULL,
  expires    BIGINT NOT NULL,
  closed     BIGINT NOT NULL,
  restored   BIGINT NOT NULL,
  last_used  BIGINT NOT NULL
);
CREATE INDEX shares_by_bullpen ON shares (bullpen_id, created DESC, id DESC);

CREATE TABLE shared_clips (
  share_id   TEXT COLLATE "C" NOT NULL REFERENCES shares (id) ON DELETE CASCADE,
  clip_id    TEXT COLLATE "C" NOT NULL REFERENCES clips (id) ON DELETE CASCADE,
  academy_id TEXT COLLATE "C" NOT NULL REFERENCES academies (id),
  place      BIGINT NOT NULL,
  PRIMARY KEY (share_id, clip_id)
);
CREATE INDEX shared_clips_by_clip ON shared_clips (clip_id);

-- The revision of its bullpen that a rep was last changed for, see 0005 of SQLite's.
CREATE FUNCTION rep_revised() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
  new.revised := (SELECT revision + 1 FROM bullpens WHERE id = new.bullpen_id);
  RETURN new;
END $$;
CREATE TRIGGER rep_added BEFORE INSERT ON reps FOR EACH ROW EXECUTE FUNCTION rep_revised();
CREATE TRIGGER rep_changed BEFORE UPDATE OF version, deleted, film_id, drive, plant, top, "release", place,
  pitch, reading, unit, step, gun, drill, set_number, number, called, warm_up, note ON reps FOR EACH ROW EXECUTE FUNCTION rep_revised();
