-- A pitcher's bands are her own only. Until now a level's bands were copied onto her,
-- and nothing told a copy from a band somebody set. A band that is what she would go
-- by without it (her level's, or where that has none the pitch type's default) is
-- taken for a copy: leaving it out changes no verdict today, and lets her follow her
-- level from now on. A copy of an earlier level's that differs stays, since it may be
-- meant; it shows on her page as her own, with the way back to the default.
UPDATE pitchers SET bands = (
  SELECT json_group_object(own.key, json(own.value))
  FROM json_each(pitchers.bands) own
  LEFT JOIN levels l ON l.academy_id = pitchers.academy_id AND l.key = pitchers.level
  LEFT JOIN (
    SELECT 'ch' AS pitch, json('{"unit":"mph","lo":8,"hi":12,"limit":15}') AS band
    UNION ALL SELECT 'os', json('{"unit":"mph","lo":3,"hi":7,"limit":10}')
    UNION ALL SELECT 'cu', json('{"unit":"mph","lo":3,"hi":7,"limit":10}')
  ) type ON type.pitch = own.key
  WHERE (own.value ->> 'unit', own.value ->> 'lo', own.value ->> 'hi', own.value ->> 'limit') IS NOT (
    coalesce(l.edited -> '$.Bands' -> own.key, type.band) ->> 'unit', coalesce(l.edited -> '$.Bands' -> own.key, type.band) ->> 'lo',
    coalesce(l.edited -> '$.Bands' -> own.key, type.band) ->> 'hi', coalesce(l.edited -> '$.Bands' -> own.key, type.band) ->> 'limit')
)
WHERE bands <> '{}';
