-- The language of what a pitcher and her parents read: captions, links, reports.
ALTER TABLE pitchers ADD COLUMN language TEXT NOT NULL DEFAULT 'en' CHECK (language IN ('en', 'es'));
