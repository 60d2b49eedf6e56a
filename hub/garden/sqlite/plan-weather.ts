/** The year of weather that the grower chose for plans, in SQLite. */
import type Database from 'better-sqlite3'
import type { MeasuredDay } from '../../core/plan/climate-from-days.js'
import { type Answered, requireGarden } from './answered.js'

type PlanWeatherMethods = 'getPlanWeather' | 'putPlanWeather' | 'deletePlanWeather'

export function planWeather(db: Database.Database): Answered<PlanWeatherMethods> {
  return {
    getPlanWeather: (garden) => {
      const row = db
        .prepare<[string], { name: string; days: string }>(
          'SELECT name, days FROM plan_weather WHERE garden = ?',
        )
        .get(garden)
      return row ? { name: row.name, days: JSON.parse(row.days) as MeasuredDay[] } : null
    },
    putPlanWeather: (garden, { name, days }) => {
      requireGarden(db, garden)
      db.prepare('INSERT OR REPLACE INTO plan_weather (garden, name, days) VALUES (?, ?, ?)').run(
        garden,
        name,
        JSON.stringify(days),
      )
    },
    deletePlanWeather: (garden) =>
      db.prepare('DELETE FROM plan_weather WHERE garden = ?').run(garden).changes > 0,
  }
}
