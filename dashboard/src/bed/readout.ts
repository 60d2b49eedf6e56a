/** What the reading cursor says about one line at an instant. Pure. */
import type { Series } from '../../../shared/api/measurements.js'
import { flagNames } from '../../../shared/quality-flags.js'
import { type ClockStyle, dateAndClock } from '../format/local-clock.js'
import { decimalsOf, figure, rounded, showValue, type TempUnit, toShown } from '../format/units.js'
import { flagWord } from '../parts/flag-words.js'
import { nearest } from './chart-columns.js'
import type { ChartLine } from './chart-line.js'

/**
 * 'air 15.4 °C', of a step 'air 13.9 °C (12.0 to 15.4)', of a doubtful reading with what is odd about it; null
 * where nothing is near.
 */
export function readingAt(
  line: ChartLine,
  timeS: number,
  tempUnit: TempUnit,
  isRangeTold = true,
): string | null {
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
  if (!isRangeTold || min === null || min === undefined || max === null || max === undefined) return text
  const shown = (v: number): string =>
    figure(rounded(toShown(v, series.unit, tempUnit), series.unit), decimalsOf(series.quantity))
  return `${text} (${shown(min)} to ${shown(max)})`
}

/** When the newest figure of a series is for, epoch s; null where it has none. */
function lastS(series: Series | null): number | null {
  if (series === null) return null
  if (series.form === 'raw') return series.time[series.time.length - 1] ?? null
  for (let i = series.mean.length - 1; i >= 0; i--) {
    const startS = series.time[i]
    if (series.mean[i] !== null && startS !== undefined) return startS + series.stepS / 2
  }
  return null
}

/** The line above a chart: what stands under the cursor, or the newest figures while nobody reads. */
export function readoutOf(
  lines: readonly ChartLine[],
  cursorS: number | null,
  tempUnit: TempUnit,
  timeZone: string,
  style: ClockStyle,
): string {
  const newest = lines.map((l) => lastS(l.series)).filter((s) => s !== null)
  const timeS = cursorS ?? (newest.length === 0 ? null : Math.max(...newest))
  if (timeS === null) return ''
  const readings = lines
    .map((line) => readingAt(line, timeS, tempUnit, cursorS !== null))
    .filter((r) => r !== null)
  const text = readings.length === 0 ? 'no reading' : readings.join(' · ')
  return `${cursorS === null ? 'last, ' : ''}${dateAndClock(timeS * 1000, timeZone, style)} · ${text}`
}
