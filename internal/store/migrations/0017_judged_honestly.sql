-- A reading that is asked about counts in nothing until somebody says that it is right. A
-- typed baseline was read somewhere and is only so sure; a gun may have a name.
ALTER TABLE reps ADD COLUMN sure INTEGER NOT NULL DEFAULT 0;
ALTER TABLE pitchers ADD COLUMN typed_gun TEXT NOT NULL DEFAULT '';
ALTER TABLE pitchers ADD COLUMN typed_within REAL; -- mph, a standard uncertainty; NULL: not said
ALTER TABLE bullpens ADD COLUMN gun_name TEXT NOT NULL DEFAULT '';
