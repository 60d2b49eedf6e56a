/** What the reading cursor says about one line at an instant. Pure. */
import { flagNames } from '../../../shared/quality-flags.js'
import { decimalsOf, figure, showValue, type TempUnit, toShown } from '../format/units.js'
import { flagWord } from '../parts/flag-words.js'
import { nearest } from './chart-columns.js'
import type { ChartLine } from './chart-line.js'

/** 'air 15.4 °C', 'air 12.0 to 15.4, mean 13.9 °C', or with what is doubtful about it; null where nothing is near. */
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
  const shown = (v: number): string => figure(toShown(v, series.unit, tempUnit), decimalsOf(series.quantity))
  return `${text} (${shown(min)} to ${shown(max)})`
}
