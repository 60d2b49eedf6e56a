/**
 * From the hub's series to the columns uPlot draws. Every line of a chart becomes three columns (lowest, mean,
 * highest) on one common time column, whether it came raw or in steps, so that a chart keeps its shape while its
 * data change form on zooming. `null` is a gap, `undefined` is "no sample of this line here". Pure.
 */
import type { Series } from '../../../shared/api/measurements.js'
import { EXCLUDING_FLAGS, FLAG, isGood } from '../../../shared/quality-flags.js'
import { maxHoldMs } from '../../../shared/quantities.js'

type Cell = number | null | undefined

/** One line of a chart, made ready. */
export interface Line {
  readonly time: number[]
  readonly min: (number | null)[]
  readonly mean: (number | null)[]
  readonly max: (number | null)[]
}

interface Sample {
  readonly timeS: number
  readonly min: number | null
  readonly mean: number
  readonly max: number | null
}

/** A reading that is shown but not drawn through. */
export interface Marked {
  readonly timeS: number
  readonly value: number
  readonly flags: number
}

/** A hole this many times the spacing round it is a gap: one missed report is not, three are. */
const GAP_SPACINGS = 2.5

/**
 * Is there a gap after each reading? Nodes may report more slowly by night, so a hole is measured against the
 * spacing beside it as well as the usual one; but none longer than a reading may stand for is ever drawn across.
 */
function gapsAfter(time: readonly number[], spacingS: number | null, holdS: number): boolean[] {
  return time.map((timeS, i) => {
    const next = time[i + 1]
    if (next === undefined || spacingS === null) return false
    const hole = next - timeS
    if (hole <= spacingS * GAP_SPACINGS) return false
    const before = timeS - (time[i - 1] ?? timeS)
    const after = (time[i + 2] ?? next) - next
    return hole > holdS || hole > Math.max(before, after) * GAP_SPACINGS
  })
}

/** A line through samples, with a null in the middle of every gap. */
function brokenAt(gaps: readonly boolean[], samples: readonly Sample[]): Line {
  const line: Line = { time: [], min: [], mean: [], max: [] }
  const put = (timeS: number, min: number | null, mean: number | null, max: number | null): void => {
    line.time.push(timeS)
    line.min.push(min)
    line.mean.push(mean)
    line.max.push(max)
  }
  samples.forEach((sample, i) => {
    put(sample.timeS, sample.min, sample.mean, sample.max)
    const next = samples[i + 1]
    if (gaps[i] === true && next !== undefined) put((sample.timeS + next.timeS) / 2, null, null, null)
  })
  return line
}

/** Raw readings: the good ones only. */
function rawSamples(series: Extract<Series, { form: 'raw' }>, convert: (value: number) => number): Sample[] {
  return series.time.flatMap((timeS, i) => {
    const value = series.value[i]
    if (value === undefined || !isGood(series.flags[i] ?? 0)) return []
    return [{ timeS, min: null, mean: convert(value), max: null }]
  })
}

/** Steps: drawn at the middle of each step, which is what their mean stands for; empty ones are left out. */
function steppedSamples(
  series: Extract<Series, { form: 'steps' }>,
  convert: (value: number) => number,
): Sample[] {
  const turn = (value: number | null | undefined): number | null =>
    value === null || value === undefined ? null : convert(value)
  return series.time.flatMap((startS, i) => {
    const mean = turn(series.mean[i])
    if (mean === null) return []
    return [{ timeS: startS + series.stepS / 2, min: turn(series.min[i]), mean, max: turn(series.max[i]) }]
  })
}

/** @param convert from the stored unit to the one shown */
export function lineOf(series: Series, convert: (value: number) => number): Line {
  const isRaw = series.form === 'raw'
  const samples = isRaw ? rawSamples(series, convert) : steppedSamples(series, convert)
  const times = samples.map((sample) => sample.timeS)
  const spacingS = isRaw ? series.spacingS : series.stepS
  return brokenAt(gapsAfter(times, spacingS, maxHoldMs(series.quantity) / 1000), samples)
}

/** Readings left out of the line, and those at the sensor's ceiling; steps no longer tell them apart. */
export function markedReadings(series: Series, convert: (value: number) => number): Marked[] {
  if (series.form !== 'raw') return []
  const marked: Marked[] = []
  series.time.forEach((timeS, i) => {
    const flags = series.flags[i] ?? 0
    const value = series.value[i]
    if (value !== undefined && (flags & (EXCLUDING_FLAGS | FLAG.ceiling)) !== 0)
      marked.push({ timeS, value: convert(value), flags })
  })
  return marked
}

/** All lines on one ascending time column: [time, min₁, mean₁, max₁, min₂, …]. */
export function alignLines(lines: readonly Line[]): [number[], ...Cell[][]] {
  const times = new Set<number>()
  for (const line of lines) for (const t of line.time) times.add(t)
  const time = [...times].sort((a, b) => a - b)
  const columns: Cell[][] = []
  for (const line of lines) {
    const place = new Map(line.time.map((t, i) => [t, i]))
    const spread = (column: readonly (number | null)[]): Cell[] =>
      time.map((t) => {
        const i = place.get(t)
        return i === undefined ? undefined : column[i]
      })
    columns.push(spread(line.min), spread(line.mean), spread(line.max))
  }
  return [time, ...columns]
}

/** Indices of samples with a gap on either side: a line through them would have no length, so they get a dot. */
export function isolated(column: readonly Cell[]): number[] {
  const present: number[] = []
  const alone: number[] = []
  // walk over real samples and gaps, stepping over alignment holes
  column.forEach((value, i) => {
    if (value !== undefined) present.push(i)
  })
  present.forEach((i, n) => {
    const before = n === 0 ? null : column[present[n - 1] ?? 0]
    const after = n === present.length - 1 ? null : column[present[n + 1] ?? 0]
    if (column[i] !== null && before === null && after === null) alone.push(i)
  })
  return alone
}

/** Index of the sample nearest to an instant within `withinS`; null when there is none. */
export function nearest(time: readonly number[], timeS: number, withinS: number): number | null {
  let low = 0
  let high = time.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((time[middle] ?? 0) < timeS) low = middle + 1
    else high = middle
  }
  let best: number | null = null
  for (const i of [low - 1, low]) {
    const t = time[i]
    if (t === undefined || Math.abs(t - timeS) > withinS) continue
    if (best === null || Math.abs(t - timeS) < Math.abs((time[best] ?? 0) - timeS)) best = i
  }
  return best
}

/** Appends a live reading to a raw series; one that is not newer (a backlog, a repetition) leaves it as it is. */
export function withReading(series: Series, timeS: number, value: number, flags: number): Series {
  if (series.form !== 'raw') return series
  const lastS = series.time[series.time.length - 1]
  if (lastS !== undefined && timeS <= lastS) return series
  return {
    ...series,
    time: [...series.time, timeS],
    value: [...series.value, value],
    flags: [...series.flags, flags],
  }
}
