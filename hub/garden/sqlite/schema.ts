/** The garden database's tables, as numbered migrations. A released migration never changes: add the next. */
import type { Migration } from '../../sqlite/migrate.js'
import { DELIVERY_TABLES } from './delivery-migration.js'
import { GROWING_TABLES } from './growing-migration.js'
import { PLAN_WEATHER_TABLE } from './plan-migration.js'
import { SEASON_DATES, SEASON_TABLES } from './season-migration.js'

export const GARDEN_MIGRATIONS: readonly Migration[] = [
  {
    version: 1,
    name: 'gardens, beds, nodes, placements, plantings, day records, warnings',
    sql: `
      CREATE TABLE gardens (
        id TEXT PRIMARY KEY,
        name TEXT NOT NULL,
        latitude_deg REAL NOT NULL,
        longitude_deg REAL NOT NULL,
        elevation_m REAL NOT NULL,
        time_zone TEXT NOT NULL
      ) STRICT, WITHOUT ROWID;

      CREATE TABLE beds (
        garden TEXT NOT NULL REFERENCES gardens (id),
        id TEXT NOT NULL,
        name TEXT NOT NULL,
        kind TEXT NOT NULL,
        length_m REAL NOT NULL,
        width_m REAL NOT NULL,
        depth_m REAL,
        PRIMARY KEY (garden, id)
      ) STRICT, WITHOUT ROWID;

      CREATE TABLE nodes (
        garden TEXT NOT NULL REFERENCES gardens (id),
        id TEXT NOT NULL,
        name TEXT NOT NULL,
        PRIMARY KEY (garden, id)
      ) STRICT, WITHOUT ROWID;

      CREATE TABLE placements (
        id TEXT PRIMARY KEY,
        garden TEXT NOT NULL,
        node TEXT NOT NULL,
        bed TEXT NOT NULL,
        from_ms INTEGER NOT NULL,
        to_ms INTEGER,
        CHECK (to_ms IS NULL OR to_ms > from_ms),
        FOREIGN KEY (garden, node) REFERENCES nodes (garden, id),
        FOREIGN KEY (garden, bed) REFERENCES beds (garden, id)
      ) STRICT, WITHOUT ROWID;
      CREATE INDEX placements_by_bed ON placements (garden, bed, from_ms);
      CREATE INDEX placements_by_node ON placements (garden, node, from_ms);

      CREATE TABLE plantings (
        id TEXT PRIMARY KEY,
        garden TEXT NOT NULL,
        bed TEXT NOT NULL,
        crop TEXT NOT NULL,
        variety TEXT,
        sown_on TEXT,
        planted_out_on TEXT,
        plants INTEGER NOT NULL,
        spacing_m REAL NOT NULL,
        finished_on TEXT,
        FOREIGN KEY (garden, bed) REFERENCES beds (garden, id)
      ) STRICT, WITHOUT ROWID;
      CREATE INDEX plantings_by_bed ON plantings (garden, bed);

      -- a cache: may be emptied at any time
      CREATE TABLE day_records (
        garden TEXT NOT NULL,
        bed TEXT NOT NULL,
        options TEXT NOT NULL,
        date TEXT NOT NULL,
        version INTEGER NOT NULL,
        basis TEXT NOT NULL,
        record TEXT NOT NULL,
        PRIMARY KEY (garden, bed, options, date)
      ) STRICT, WITHOUT ROWID;

      CREATE TABLE warnings (
        id TEXT PRIMARY KEY,
        garden TEXT NOT NULL REFERENCES gardens (id),
        kind TEXT NOT NULL,
        cause TEXT NOT NULL,
        bed TEXT,
        node TEXT,
        planting TEXT,
        severity TEXT NOT NULL,
        urgency TEXT NOT NULL,
        certainty TEXT NOT NULL,
        headline TEXT NOT NULL,
        why TEXT NOT NULL,
        advice TEXT NOT NULL,
        raised_at_ms INTEGER NOT NULL,
        updated_at_ms INTEGER NOT NULL,
        cleared_at_ms INTEGER,
        seen_at_ms INTEGER
      ) STRICT, WITHOUT ROWID;
      CREATE INDEX warnings_by_time ON warnings (garden, raised_at_ms);
      -- one open warning a cause, whatever happens
      CREATE UNIQUE INDEX warnings_open ON warnings (garden, cause) WHERE cleared_at_ms IS NULL;
    `,
  },
  {
    version: 2,
    name: 'owner, sessions, links, tokens, node credentials',
    sql: `
      -- secrets are here only as digests (random ones) or as an argon2id hash (what a person thought up)
      CREATE TABLE owner (
        only INTEGER PRIMARY KEY CHECK (only = 1),
        passphrase_hash TEXT NOT NULL,
        set_at_ms INTEGER NOT NULL
      ) STRICT;

      -- signs the cookies: without it a forged one is refused unread
      CREATE TABLE cookie_key (
        only INTEGER PRIMARY KEY CHECK (only = 1),
        key TEXT NOT NULL
      ) STRICT;

      CREATE TABLE reading_links (
        id TEXT PRIMARY KEY,
        digest TEXT NOT NULL UNIQUE,
        name TEXT NOT NULL,
        created_at_ms INTEGER NOT NULL,
        expires_at_ms INTEGER NOT NULL
      ) STRICT, WITHOUT ROWID;

      -- link null: the owner's own
      CREATE TABLE sessions (
        id TEXT PRIMARY KEY,
        digest TEXT NOT NULL UNIQUE,
        link TEXT REFERENCES reading_links (id) ON DELETE CASCADE,
        device TEXT NOT NULL,
        created_at_ms INTEGER NOT NULL,
        seen_at_ms INTEGER NOT NULL,
        expires_at_ms INTEGER NOT NULL
      ) STRICT, WITHOUT ROWID;
      CREATE INDEX sessions_by_link ON sessions (link);

      CREATE TABLE api_tokens (
        id TEXT PRIMARY KEY,
        name TEXT NOT NULL UNIQUE,
        digest TEXT NOT NULL UNIQUE,
        scope TEXT NOT NULL CHECK (scope IN ('read', 'write')),
        created_at_ms INTEGER NOT NULL
      ) STRICT, WITHOUT ROWID;

      -- made before the garden is set up and before the node is named: no reference to either
      CREATE TABLE node_credentials (
        garden TEXT NOT NULL,
        node TEXT NOT NULL,
        digest TEXT NOT NULL,
        created_at_ms INTEGER NOT NULL,
        PRIMARY KEY (garden, node)
      ) STRICT, WITHOUT ROWID;
    `,
  },
  {
    version: 3,
    name: 'learned sun, drawn skylines, clear normals',
    sql: `
      -- a cache: may be emptied at any time
      CREATE TABLE learned_sun (
        garden TEXT NOT NULL,
        month TEXT NOT NULL,
        placement TEXT NOT NULL REFERENCES placements (id) ON DELETE CASCADE,
        version INTEGER NOT NULL,
        basis TEXT NOT NULL,
        from_ms INTEGER NOT NULL,
        cut_ms INTEGER NOT NULL,
        learned TEXT NOT NULL,
        PRIMARY KEY (garden, month, placement)
      ) STRICT, WITHOUT ROWID;

      CREATE TABLE drawn_skylines (
        garden TEXT NOT NULL,
        bed TEXT NOT NULL,
        drawing TEXT NOT NULL,
        PRIMARY KEY (garden, bed),
        FOREIGN KEY (garden, bed) REFERENCES beds (garden, id) ON DELETE CASCADE
      ) STRICT, WITHOUT ROWID;

      CREATE TABLE clear_normals (
        garden TEXT PRIMARY KEY REFERENCES gardens (id),
        normals TEXT NOT NULL
      ) STRICT, WITHOUT ROWID;
    `,
  },
  {
    version: 4,
    name: 'observations, own crops, normals, mutes, forecasts, times of warnings',
    sql: GROWING_TABLES,
  },
  {
    version: 5,
    name: 'delivery of warnings',
    sql: DELIVERY_TABLES,
  },
  {
    version: 6,
    name: 'journal, answers to tasks, calendar links',
    sql: SEASON_TABLES,
  },
  {
    version: 7,
    name: 'dates of plantings before the journal set them',
    sql: SEASON_DATES,
  },
  {
    version: 8,
    name: 'a year of weather to plan by',
    sql: PLAN_WEATHER_TABLE,
  },
]
