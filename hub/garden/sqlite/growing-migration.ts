/** What growers say of their crops, and what forecasts are learned: tables of migration 4 (schema.ts). */
export const GROWING_TABLES = `
  -- when what is warned of begins and until when it holds; null: no time can be told
  ALTER TABLE warnings ADD COLUMN onset_ms INTEGER;
  ALTER TABLE warnings ADD COLUMN expires_ms INTEGER;
  ALTER TABLE warnings ADD COLUMN chance REAL;

  CREATE TABLE observations (
    id TEXT PRIMARY KEY,
    garden TEXT NOT NULL,
    planting TEXT NOT NULL REFERENCES plantings (id) ON DELETE CASCADE,
    seen TEXT NOT NULL,
    seen_on TEXT NOT NULL,
    note TEXT
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX observations_by_planting ON observations (planting, seen_on);

  -- name null: that of the crop it is based on
  CREATE TABLE garden_crops (
    garden TEXT NOT NULL REFERENCES gardens (id),
    id TEXT NOT NULL,
    based_on TEXT NOT NULL,
    name TEXT,
    adjustments TEXT NOT NULL,
    PRIMARY KEY (garden, id)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE temperature_normals (
    garden TEXT PRIMARY KEY REFERENCES gardens (id),
    normals TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE warning_mutes (
    garden TEXT NOT NULL,
    planting TEXT NOT NULL REFERENCES plantings (id) ON DELETE CASCADE,
    kind TEXT NOT NULL,
    PRIMARY KEY (planting, kind)
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX warning_mutes_by_garden ON warning_mutes (garden);

  -- learned; what the bed's own days have taught can be made anew from the readings
  CREATE TABLE bed_forecasts (
    garden TEXT NOT NULL,
    bed TEXT NOT NULL,
    version INTEGER NOT NULL,
    basis TEXT NOT NULL,
    state TEXT NOT NULL,
    PRIMARY KEY (garden, bed),
    FOREIGN KEY (garden, bed) REFERENCES beds (garden, id) ON DELETE CASCADE
  ) STRICT, WITHOUT ROWID;

  -- the newest of each source, so that a restart neither forgets it nor asks for it again too soon
  CREATE TABLE public_forecasts (
    garden TEXT NOT NULL REFERENCES gardens (id),
    source TEXT NOT NULL,
    attribution TEXT,
    issued_at_ms INTEGER NOT NULL,
    fetched_at_ms INTEGER NOT NULL,
    expires_at_ms INTEGER,
    validator TEXT,
    points TEXT NOT NULL,
    PRIMARY KEY (garden, source)
  ) STRICT, WITHOUT ROWID;
`
