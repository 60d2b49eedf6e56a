/** A year of weather that the grower chose for plans: table of migration 8 (schema.ts). */
export const PLAN_WEATHER_TABLE = `
  CREATE TABLE plan_weather (
    garden TEXT PRIMARY KEY REFERENCES gardens (id),
    name TEXT NOT NULL,
    -- JSON: the days that are used
    days TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;
`
