/** The grower's season: journal with photos, answers to tasks, calendar links: tables of migration 6 (schema.ts). */
export const SEASON_TABLES = `
  CREATE TABLE journal_entries (
    id TEXT PRIMARY KEY,
    garden TEXT NOT NULL REFERENCES gardens (id),
    kind TEXT NOT NULL,
    done_on TEXT NOT NULL,
    planting TEXT REFERENCES plantings (id) ON DELETE CASCADE,
    bed TEXT,
    plants INTEGER,
    firmness TEXT,
    stem_mm REAL,
    weight_kg REAL,
    diameter_mm REAL,
    what TEXT,
    note TEXT,
    written_at_ms INTEGER NOT NULL,
    FOREIGN KEY (garden, bed) REFERENCES beds (garden, id) ON DELETE CASCADE
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX journal_by_date ON journal_entries (garden, done_on);
  CREATE INDEX journal_by_planting ON journal_entries (planting, done_on);

  -- an entry taken back stays taken back, though a phone may send it again later
  CREATE TABLE journal_removals (
    garden TEXT NOT NULL REFERENCES gardens (id),
    id TEXT NOT NULL,
    removed_at_ms INTEGER NOT NULL,
    PRIMARY KEY (garden, id)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE journal_photos (
    id TEXT PRIMARY KEY,
    entry TEXT NOT NULL REFERENCES journal_entries (id) ON DELETE CASCADE,
    media_type TEXT NOT NULL,
    image BLOB NOT NULL
  ) STRICT;
  CREATE INDEX journal_photos_by_entry ON journal_photos (entry);

  -- what was seen before there was a journal becomes entries of it; 'firm' is a way a head feels
  INSERT INTO journal_entries (id, garden, kind, done_on, planting, firmness, note, written_at_ms)
    SELECT id, garden, CASE seen WHEN 'firm' THEN 'firmness' ELSE seen END, seen_on, planting,
      CASE seen WHEN 'firm' THEN 'firm' END, note, unixepoch(seen_on) * 1000
    FROM observations;
  DROP TABLE observations;

  -- a task the grower does not want, or not yet
  CREATE TABLE task_answers (
    garden TEXT NOT NULL REFERENCES gardens (id),
    task TEXT NOT NULL,
    -- null: for good
    until_on TEXT,
    answered_at_ms INTEGER NOT NULL,
    PRIMARY KEY (garden, task)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE calendar_links (
    id TEXT PRIMARY KEY,
    garden TEXT NOT NULL REFERENCES gardens (id),
    name TEXT NOT NULL,
    digest TEXT NOT NULL UNIQUE,
    created_at_ms INTEGER NOT NULL
  ) STRICT, WITHOUT ROWID;
`

/** Of migration 7. */
export const SEASON_DATES = `
  -- 'sown' and 'planted-out' set that date of their planting: what it was before, for when they are taken back
  ALTER TABLE journal_entries ADD COLUMN date_before TEXT;
`
