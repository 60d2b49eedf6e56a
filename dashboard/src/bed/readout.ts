/** What the reading cursor says about one line at an instant. Pure. */
import type { LatestValue } from '../../../shared/api/measurements.js'
import { flagNames } from '../../../shared/quality-flags.js'
import { type ClockStyle, clockTime, dateAndClock } from '../format/local-clock.js'
import { decimalsOf, figure, rounded, showValue, type TempUnit, toShown } from '../format/units.js'
import { flagWord } from '../parts/flag-words.js'
import { nearest } from './chart-columns.js'
import type { ChartLine } from './chart-line.js'

/**
 * 'air 15.4 °C', of a step 'air 13.9 °C (12.0 to 15.4)', of a doubtful reading with what is odd about it; null
 * where nothing is near.
 */
export function readingAt(line: ChartLine, timeS: number, tempUnit: TempUnit): string | null {
  const { series } = line
  if (series === null) return null
  if (series.form === 'raw') {
    const i = nearest(series.time, timeS, Math.max(30, (series.spacingS ?? 600) * 1.25))
    const value = i === null ? undefined : series.value[i]
    if (i === null || value === undefined) return null
    const doubts = flagNames(series.flags[i] ?? 0).map(flagWord)
    const text = `${line.label} ${showValue(series.quantity, series.unit, value, tempUnit)}`
    return doubts.length === 0 ? text : `${text} (${doubts.join('; ')})`
  }
  const i = nearest(series.time, timeS - series.stepS / 2, series.stepS * 0.75)
  if (i === null) return null
  const [min, mean, max] = [series.min[i], series.mean[i], series.max[i]]
  if (mean === null || mean === undefined) return null
  const text = `${line.label} ${showValue(series.quantity, series.unit, mean, tempUnit)}`
  if (min === null || min === undefined || max === null || max === undefined) return text
  const shown = (v: number): string =>
    figure(rounded(toShown(v, series.unit, tempUnit), series.unit), decimalsOf(series.quantity))
  return `${text} (${shown(min)} to ${shown(max)})`
}

/** The line above a chart while somebody reads it: when, and what each line is there. */
export function readoutOf(
  lines: readonly ChartLine[],
  timeS: number,
  tempUnit: TempUnit,
  timeZone: string,
  style: ClockStyle,
): string {
  const readings = lines.map((line) => readingAt(line, timeS, tempUnit)).filter((r) => r !== null)
  const text = readings.length === 0 ? 'no reading' : readings.join(' · ')
  return `${dateAndClock(timeS * 1000, timeZone, style)} · ${text}`
}

/** The same line at rest: the newest readings, or how to read where the chart shows the past. */
export function restText(
  lines: readonly ChartLine[],
  latest: readonly LatestValue[],
  isFollowing: boolean,
  tempUnit: TempUnit,
  timeZone: string,
  style: ClockStyle,
): string {
  if (!isFollowing) return 'Point at the curve to read it.'
  const newest = lines.flatMap((line) => {
    const value = latest.find((l) => l.quantity === line.quantity)
    return value === undefined ? [] : [{ line, value }]
  })
  if (newest.length === 0) return ''
  const timeMs = Math.max(...newest.map(({ value }) => Date.parse(value.time)))
  const figures = newest.map(
    ({ line, value }) => `${line.label} ${showValue(value.quantity, value.unit, value.value, tempUnit)}`,
  )
  return `${clockTime(timeMs, timeZone, style)} · ${figures.join(' · ')}`
}
