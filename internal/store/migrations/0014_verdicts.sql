-- The verdict on each rep, so that reps can be searched by it: '' for none. It follows
-- from its bullpen as that was at the revision judged; at another one it is not believed,
-- and is made again.
ALTER TABLE reps ADD COLUMN verdict TEXT NOT NULL DEFAULT '';
ALTER TABLE bullpens ADD COLUMN judged INTEGER NOT NULL DEFAULT 0;
CREATE INDEX bullpens_unjudged ON bullpens (academy_id) WHERE judged <> revision;
-- The pitcher and the pitch are behind the order, so that other reps' rows need not be read.
CREATE INDEX reps_by_verdict ON reps (academy_id, verdict, day DESC, begun DESC, bullpen_id DESC, place DESC, id DESC, pitcher_id, pitch)
  WHERE deleted = 0 AND verdict <> '';
