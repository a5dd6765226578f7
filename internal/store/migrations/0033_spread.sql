-- How closely the release of a proposal is found between frames: the standard deviation to
-- expect of instant, real seconds. Until a film is looked at anew, what is expected of all.
ALTER TABLE proposals ADD COLUMN spread REAL;
UPDATE proposals SET spread = 0.004 WHERE instant IS NOT NULL;
