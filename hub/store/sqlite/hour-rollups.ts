/**
 * Hourly roll-ups (UTC hours), so that a season's chart does not read a season of minutes.
 *
 * They are a cache of what follows from the readings. A commit notes the hours it touched in the same
 * transaction; those hours, and the ones around them that the change can bear on (quality flags look at
 * neighbours), count as not rolled up until they have been computed again.
 */
import type Database from 'better-sqlite3'
import { FLAG, isGood } from '../../../shared/quality-flags.js'
import { HOUR_MS, lowerBound, reachHours, type WeightedReadings } from '../weighted-readings.js'
import { createRawReader } from './raw-readings.js'

export interface HourFigures {
  readonly hour: number
  readonly min: number
  readonly max: number
  /** sum of value × ms accounted for */
  readonly weighted: number
  readonly coveredMs: number
  readonly good: number
  /** all readings, good or not */
  readonly readings: number
}

/** Figures of each hour that has readings, ascending. */
export function hourFigures(readings: WeightedReadings): HourFigures[] {
  const hours: HourFigures[] = []
  const { timeMs } = readings
  let from = 0
  while (from < timeMs.length) {
    const hour = Math.floor(timeMs[from]! / HOUR_MS)
    const to = lowerBound(timeMs, (hour + 1) * HOUR_MS)
    hours.push(figuresOfHour(hour, readings, from, to))
    from = to
  }
  return hours
}

function figuresOfHour(hour: number, readings: WeightedReadings, from: number, to: number): HourFigures {
  let min = Number.POSITIVE_INFINITY
  let max = Number.NEGATIVE_INFINITY
  let weighted = 0
  let coveredMs = 0
  let good = 0
  for (let i = from; i < to; i++) {
    if (!isGood(readings.flags[i]!)) continue
    const value = readings.value[i]!
    if (value < min) min = value
    if (value > max) max = value
    weighted += value * readings.weightMs[i]!
    coveredMs += readings.weightMs[i]!
    good++
  }
  return { hour, min, max, weighted, coveredMs, good, readings: to - from }
}

/** Hours from `first` to `last`, both included. */
export interface HourSpan {
  readonly first: number
  readonly last: number
}

/** Spans around each touched hour, joined where they meet and cut to `within`; touched is ascending. */
export function staleSpans(touched: readonly number[], reach: number, within: HourSpan): HourSpan[] {
  const spans: { first: number; last: number }[] = []
  for (const hour of touched) {
    const first = Math.max(within.first, hour - reach)
    const last = Math.min(within.last, hour + reach)
    if (first > last) continue
    const previous = spans.at(-1)
    if (previous && first <= previous.last + 1) previous.last = Math.max(previous.last, last)
    else spans.push({ first, last })
  }
  return spans
}

/** At most this many hours are computed in one go, so that a commit never waits long behind it. */
const HOURS_A_SLICE = 7 * 24

export interface RollupKeeper {
  /**
   * Computes some stale hours again, those that nothing is expected to touch soon.
   * @returns whether there is more to do
   */
  settleSome(): boolean
}

/**
 * Keeps roll-ups up to date, a slice at a time. The newest hours of a series stay stale while readings still
 * come in (their neighbours are not complete): they are computed when read, and rolled up once, when settled.
 */
export function createRollupKeeper(db: Database.Database): RollupKeeper {
  const raw = createRawReader(db)
  const allSeries = db.prepare<[], { id: number; quantity: string; newest: number | null }>(
    // a reading from the future (a wrong clock) does not settle the present
    `SELECT id, quantity, (SELECT time_ms FROM reading WHERE series_id = series.id AND (flags & ${FLAG.clock}) = 0
       ORDER BY time_ms DESC LIMIT 1) AS newest
     FROM series WHERE EXISTS (SELECT 1 FROM touched_hour WHERE series_id = series.id)`,
  )
  const firstTouched = db
    .prepare<[number, number, number], number>(
      'SELECT hour FROM touched_hour WHERE series_id = ? AND hour <= ? ORDER BY hour LIMIT ?',
    )
    .pluck()
  const forget = db.prepare('DELETE FROM touched_hour WHERE series_id = ? AND hour >= ? AND hour <= ?')
  const clear = db.prepare('DELETE FROM hour_rollup WHERE series_id = ? AND hour >= ? AND hour <= ?')
  const put = db.prepare(
    `INSERT INTO hour_rollup VALUES (?, ?, ?, ?, ?, ?, ?, ?)
     ON CONFLICT DO UPDATE SET min = excluded.min, max = excluded.max, weighted = excluded.weighted,
       covered_ms = excluded.covered_ms, good = excluded.good, readings = excluded.readings
     WHERE (min, max, weighted, covered_ms, good, readings) IS NOT
       (excluded.min, excluded.max, excluded.weighted, excluded.covered_ms, excluded.good, excluded.readings)`,
  )

  const settle = db.transaction((seriesId: number, quantity: string, span: HourSpan, reach: number) => {
    const around = { first: span.first - reach, last: span.last + reach }
    const figures = hourFigures(
      raw.readWeighted(seriesId, quantity, around.first * HOUR_MS, (around.last + 1) * HOUR_MS),
    )
    let empty = around.first
    for (const f of figures) {
      if (f.hour > empty) clear.run(seriesId, empty, f.hour - 1)
      put.run(
        seriesId,
        f.hour,
        f.good > 0 ? f.min : null,
        f.good > 0 ? f.max : null,
        f.weighted,
        f.coveredMs,
        f.good,
        f.readings,
      )
      empty = f.hour + 1
    }
    if (empty <= around.last) clear.run(seriesId, empty, around.last)
    forget.run(seriesId, span.first, span.last)
  })

  return {
    settleSome() {
      for (const { id, quantity, newest } of allSeries.all()) {
        const reach = reachHours(quantity)
        const newestHour = newest === null ? Number.POSITIVE_INFINITY : Math.floor(newest / HOUR_MS)
        // Number.MAX_SAFE_INTEGER, not Infinity: SQLite compares it as an integer
        const settledUpTo = Math.min(newestHour - reach - 1, Number.MAX_SAFE_INTEGER)
        const hours = firstTouched.all(id, settledUpTo, HOURS_A_SLICE)
        const first = hours[0]
        if (first === undefined) continue
        let last = first
        for (const hour of hours) if (hour - first < HOURS_A_SLICE) last = hour
        settle.immediate(id, quantity, { first, last }, reach)
        return true
      }
      return false
    },
  }
}
