-- Where nobody said where a student's gun stood, her readings took the bullpen's place,
-- which nobody had said of them either.
UPDATE reps SET version = version + 1, gun = 'not said'
  WHERE gun = '' AND reading IS NOT NULL AND bullpen_id IN (SELECT bullpen_id FROM homeworks WHERE bullpen_id IS NOT NULL);
