/**
 * Hourly figures of past days, computed from all readings once and kept in the spool, so that a season's chart
 * does not fetch a season of minutes over the network. UTC hours and days: local days are cut elsewhere.
 */
import { type HourFigures, hourFigures } from '../sqlite/hour-rollups.js'
import { HOUR_MS } from '../weighted-readings.js'
import type { JoinedReader } from './joined-reader.js'
import type { Spool, SpoolSeries } from './spool.js'

const DAY_MS = 24 * HOUR_MS
/** Readings of more days are fetched piece by piece, so that memory stays bounded. */
const DAYS_AT_ONCE = 60

/** Figures of each hour with readings from one whole hour to another, ascending. */
export async function figuresOfHours(
  spool: Spool,
  reader: JoinedReader,
  series: SpoolSeries,
  fromMs: number,
  toMs: number,
): Promise<HourFigures[]> {
  const { completeFromMs } = spool.extent()
  const { changes } = spool.byId(series.id)
  // newer days change with every reading, and are quick to read
  const firstDay = Math.ceil(fromMs / DAY_MS)
  const lastDay = Math.floor(Math.min(toMs, completeFromMs) / DAY_MS) - 1
  const found: HourFigures[] = []
  const addFresh = async (startMs: number, endMs: number): Promise<HourFigures[]> => {
    const fresh =
      startMs < endMs ? hourFigures(await reader.weighted(series, { fromMs: startMs, toMs: endMs })) : []
    found.push(...fresh)
    return fresh
  }
  if (firstDay > lastDay) {
    await addFresh(fromMs, toMs)
    return found
  }
  const kept = spool.dayFigures(series.id, firstDay, lastDay)
  for (const blob of kept.values()) found.push(...decode(blob))
  await addFresh(fromMs, firstDay * DAY_MS)
  for (const { first, last } of missingDays(kept, firstDay, lastDay)) {
    const fresh = await addFresh(first * DAY_MS, (last + 1) * DAY_MS)
    const byDay = new Map<number, HourFigures[]>()
    for (let day = first; day <= last; day++) byDay.set(day, [])
    for (const figures of fresh) byDay.get(Math.floor(figures.hour / 24))!.push(figures)
    spool.keepDayFigures(
      series.id,
      changes,
      new Map([...byDay].map(([day, figures]) => [day, encode(figures)])),
    )
  }
  await addFresh((lastDay + 1) * DAY_MS, toMs)
  return found.sort((a, b) => a.hour - b.hour)
}

function* missingDays(
  kept: ReadonlyMap<number, unknown>,
  firstDay: number,
  lastDay: number,
): Generator<{ first: number; last: number }> {
  let first: number | null = null
  for (let day = firstDay; day <= lastDay + 1; day++) {
    const isMissing = day <= lastDay && !kept.has(day)
    if (isMissing) first ??= day
    if (first !== null && (!isMissing || day - first + 1 >= DAYS_AT_ONCE)) {
      yield { first, last: isMissing ? day : day - 1 }
      first = null
    }
  }
}

const FIELDS = 7

function encode(figures: readonly HourFigures[]): Uint8Array {
  const numbers = new Float64Array(figures.length * FIELDS)
  for (const [i, f] of figures.entries())
    numbers.set([f.hour, f.min, f.max, f.weighted, f.coveredMs, f.good, f.readings], i * FIELDS)
  return new Uint8Array(numbers.buffer)
}

function decode(blob: Uint8Array): HourFigures[] {
  // a copy: bytes out of SQLite need not lie where a Float64Array may start
  const numbers = new Float64Array(blob.slice().buffer)
  const figures: HourFigures[] = []
  for (let i = 0; i < numbers.length; i += FIELDS) {
    const [hour, min, max, weighted, coveredMs, good, readings] = numbers.subarray(i, i + FIELDS)
    figures.push({
      hour: hour!,
      min: min!,
      max: max!,
      weighted: weighted!,
      coveredMs: coveredMs!,
      good: good!,
      readings: readings!,
    })
  }
  return figures
}
