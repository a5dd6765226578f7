-- Where the motion puts a release, to a fraction of a frame, in file seconds; NULL where
-- it was found in the rough or not at all. A rep keeps it beside its mark, whose frame
-- it may only refine.
ALTER TABLE proposals ADD COLUMN instant REAL;
ALTER TABLE reps ADD COLUMN found REAL;
