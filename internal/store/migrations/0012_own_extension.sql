-- A pitcher's extension is her own only; NULL is her level's. Until now it was copied from
-- the level onto her, and once the level's was changed, nothing told the copy from one
-- that somebody had measured. One that equals her level's is taken for a copy: leaving it
-- out changes no number today, and lets her follow her level from now on. A copy of an
-- earlier level's that differs stays, since it may be meant; it shows on her page as her
-- own, with the way back.
ALTER TABLE pitchers ADD COLUMN own_extension REAL;
UPDATE pitchers SET own_extension = extension_feet WHERE extension_feet IS NOT coalesce(
  (SELECT l.edited ->> '$.ExtensionFeet' FROM levels l WHERE l.academy_id = pitchers.academy_id AND l.key = pitchers.level),
  (SELECT usual.feet FROM (
    SELECT '8U' AS key, 3.0 AS feet
    UNION ALL SELECT '10U', 4.0
    UNION ALL SELECT '12U', 5.0
    UNION ALL SELECT '14U', 6.0
    UNION ALL SELECT '16U', 6.0
    UNION ALL SELECT '18U', 6.0
    UNION ALL SELECT 'HS', 6.0
    UNION ALL SELECT 'college', 6.0
    UNION ALL SELECT 'men', 6.0
    UNION ALL SELECT 'BB46', 5.0
    UNION ALL SELECT 'BB50', 5.5
    UNION ALL SELECT 'BB54', 6.0
    UNION ALL SELECT 'BB60', 6.0
  ) usual WHERE usual.key = pitchers.level)
);
ALTER TABLE pitchers DROP COLUMN extension_feet;
ALTER TABLE pitchers RENAME COLUMN own_extension TO extension_feet;
