-- What her later bullpens ask of this one, so that they need not read its reps: the mean
-- speed of its full pitches, mph, kept with every revision (NULL: none was read), and how
-- much its readings differ from rep to rep, JSON, made with the verdicts and believed as
-- those are ('': not yet).
ALTER TABLE bullpens ADD COLUMN usual REAL;
ALTER TABLE bullpens ADD COLUMN spreads TEXT NOT NULL DEFAULT '';
UPDATE bullpens SET usual = (SELECT avg(CASE coalesce(nullif(r.unit, ''), bullpens.unit) WHEN 'km/h' THEN r.reading / 1.609344 ELSE r.reading END)
  FROM reps r WHERE r.bullpen_id = bullpens.id AND r.deleted = 0 AND r.reading > 0 AND r.warm_up = 0 AND r.drill = '' AND r.pitch IN ('fb', 'dr', 'ri', 'sc', 'dc'));
-- Her level has changed, and the revisions of her bullpens are still to rise.
ALTER TABLE pitchers ADD COLUMN behind INTEGER NOT NULL DEFAULT 0;
CREATE INDEX pitchers_behind ON pitchers (academy_id) WHERE behind <> 0;
