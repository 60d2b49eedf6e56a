/** Settings, news of warnings, and the outbox: tables of the migration that brought delivery (schema.ts). */
export const DELIVERY_TABLES = `
  CREATE TABLE delivery_settings (
    garden TEXT PRIMARY KEY REFERENCES gardens (id),
    settings TEXT NOT NULL,
    -- must be readable to sign with; kept apart so that settings can be shown
    webhook_secret TEXT
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE garden_uuids (
    garden TEXT PRIMARY KEY,
    uuid TEXT NOT NULL UNIQUE,
    made_at_ms INTEGER NOT NULL
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE warning_news (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    garden TEXT NOT NULL,
    warning TEXT NOT NULL,
    event TEXT NOT NULL CHECK (event IN ('raised', 'changed', 'cleared')),
    at_ms INTEGER NOT NULL,
    -- the warning as it was then, JSON
    snapshot TEXT NOT NULL,
    planned INTEGER NOT NULL DEFAULT 0
  ) STRICT;
  CREATE INDEX warning_news_unplanned ON warning_news (seq) WHERE planned = 0;
  CREATE INDEX warning_news_by_warning ON warning_news (garden, warning, at_ms);

  CREATE TABLE deliveries (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    news INTEGER NOT NULL REFERENCES warning_news (seq) ON DELETE CASCADE,
    garden TEXT NOT NULL,
    warning TEXT NOT NULL,
    channel TEXT NOT NULL,
    target TEXT NOT NULL,
    form TEXT NOT NULL CHECK (form IN ('own', 'digest')),
    state TEXT NOT NULL CHECK (state IN ('waiting', 'sending', 'sent', 'failed', 'dropped')),
    due_ms INTEGER NOT NULL,
    attempts INTEGER NOT NULL DEFAULT 0,
    message_id TEXT,
    trouble TEXT,
    settled_at_ms INTEGER,
    -- nothing is put on its way to anyone twice
    UNIQUE (news, channel, target)
  ) STRICT;
  CREATE INDEX deliveries_due ON deliveries (state, due_ms);
  CREATE INDEX deliveries_by_warning ON deliveries (garden, warning);
  CREATE INDEX deliveries_by_target ON deliveries (garden, channel, target, settled_at_ms);
`
