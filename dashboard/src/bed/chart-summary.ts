/** A chart in one sentence, for a screen reader. */
import type { Series } from '../../../shared/api/measurements.js'
import { type ClockStyle, dateAndClock } from '../format/local-clock.js'
import { labelOf, showValue, type TempUnit } from '../format/units.js'
import type { ChartLine } from './chart-line.js'
import type { TimeRange } from './range.js'

export const isEmpty = (series: Series | null): boolean =>
  series === null || (series.form === 'raw' ? series.time.length === 0 : series.mean.every((v) => v === null))

export function chartSummary(
  lines: readonly ChartLine[],
  range: TimeRange,
  temp: TempUnit,
  zone: string,
  clock: ClockStyle,
): string {
  const when = `from ${dateAndClock(range.fromS * 1000, zone, clock)} to ${dateAndClock(range.toS * 1000, zone, clock)}`
  const parts = lines.map((line) => {
    const { series } = line
    if (series === null || isEmpty(series)) return `${labelOf(line.quantity)}: no readings`
    const lows = (series.form === 'raw' ? series.value : series.min).filter((v) => v !== null)
    const highs = (series.form === 'raw' ? series.value : series.max).filter((v) => v !== null)
    const low = lows.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
    const high = highs.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
    return `${labelOf(line.quantity)} between ${showValue(line.quantity, series.unit, low, temp)} and ${showValue(line.quantity, series.unit, high, temp)}`
  })
  return `Curve ${when}: ${parts.join('; ')}.`
}
