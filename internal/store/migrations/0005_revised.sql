-- The revision of its bullpen that a rep was last changed for, so that a long
-- bullpen need not be read whole after each change. Every writer raises the
-- revision after its changes, in the same transaction.
ALTER TABLE reps ADD COLUMN revised INTEGER NOT NULL DEFAULT 0;
CREATE INDEX reps_revised ON reps (bullpen_id, revised);
CREATE TRIGGER rep_added AFTER INSERT ON reps BEGIN
  UPDATE reps SET revised = (SELECT revision + 1 FROM bullpens WHERE id = new.bullpen_id) WHERE id = new.id;
END;
CREATE TRIGGER rep_changed AFTER UPDATE OF version, deleted, film_id, drive, plant, top, "release", place,
  pitch, reading, unit, step, gun, drill, set_number, number, called, warm_up, note ON reps BEGIN
  UPDATE reps SET revised = (SELECT revision + 1 FROM bullpens WHERE id = new.bullpen_id) WHERE id = new.id;
END;
