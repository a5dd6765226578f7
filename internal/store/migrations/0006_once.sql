-- The name that a rep was sent under, so that one sent twice is logged once: the
-- answer to the first may have been lost. '' for none.
ALTER TABLE reps ADD COLUMN sent_as TEXT NOT NULL DEFAULT '';
CREATE UNIQUE INDEX reps_once ON reps (bullpen_id, sent_as) WHERE sent_as <> '';

-- Bullpens of one day follow each other as they were begun, and their reps with
-- them. begun is the bullpen's created, kept with the rep like the day.
ALTER TABLE reps ADD COLUMN begun INTEGER NOT NULL DEFAULT 0;
UPDATE reps SET begun = (SELECT created FROM bullpens WHERE id = reps.bullpen_id);
DROP INDEX bullpens_by_day;
CREATE INDEX bullpens_by_day ON bullpens (academy_id, day DESC, created DESC, id DESC);
DROP INDEX bullpens_by_pitcher;
CREATE INDEX bullpens_by_pitcher ON bullpens (pitcher_id, day DESC, created DESC, id DESC, academy_id, reps, warm_ups);
DROP INDEX reps_by_pitcher;
CREATE INDEX reps_by_pitcher ON reps (pitcher_id, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
DROP INDEX reps_by_pitcher_pitch;
CREATE INDEX reps_by_pitcher_pitch ON reps (pitcher_id, pitch, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
DROP INDEX reps_by_day;
CREATE INDEX reps_by_day ON reps (academy_id, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
DROP INDEX reps_by_pitch;
CREATE INDEX reps_by_pitch ON reps (academy_id, pitch, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC) WHERE deleted = 0;
