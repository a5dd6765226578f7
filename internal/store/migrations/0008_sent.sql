-- A clip as it went with an answer: a copy that stays what it was when the clip on
-- the shelf is made again. NULL for a clip on the shelf.
ALTER TABLE clips ADD COLUMN sent_with TEXT REFERENCES homeworks (id) ON DELETE CASCADE;
CREATE INDEX clips_by_answer ON clips (sent_with) WHERE sent_with IS NOT NULL;

-- 1 for a slip that was closed because a backup was brought back, and by nobody since:
-- it may be renewed.
ALTER TABLE slips ADD COLUMN restored INTEGER NOT NULL DEFAULT 0;
