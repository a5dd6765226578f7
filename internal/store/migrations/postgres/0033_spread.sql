-- How closely a release is found between frames, see SQLite's.
ALTER TABLE proposals ADD COLUMN spread DOUBLE PRECISION;
UPDATE proposals SET spread = 0.004 WHERE instant IS NOT NULL;
