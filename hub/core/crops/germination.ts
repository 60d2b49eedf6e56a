/** How long a seed takes to come up in soil of a given warmth. */
import type { Crop } from './crop.js'

export type Emergence =
  | { readonly days: number; readonly reason: null }
  | { readonly days: null; readonly reason: 'too cold' | 'too hot' | 'not tested' }

/**
 * Days from sowing to emergence at a steady soil temperature.
 *
 * The rate of emergence (1/days) is taken as straight between the temperatures that were tested, as rates of development
 * nearly are; where nothing came up the rate is 0. Outside the tested range there is no figure.
 *
 * @throws RangeError  if soilTempC is not finite
 */
export function daysToEmergence(crop: Crop, soilTempC: number): Emergence {
  if (!Number.isFinite(soilTempC)) throw new RangeError(`soil temperature is not finite: ${soilTempC}`)
  const { points } = crop.germination
  const above = points.findIndex((point) => point.soilTempC >= soilTempC)
  const upper = points[above]
  if (upper === undefined) return beyond(points.at(-1)?.daysToEmergence, 'too hot')
  const lower = upper.soilTempC === soilTempC ? upper : points[above - 1]
  if (lower === undefined) return beyond(upper.daysToEmergence, 'too cold')

  const rate = (days: number | null): number => (days === null ? 0 : 1 / days)
  const part = upper === lower ? 0 : (soilTempC - lower.soilTempC) / (upper.soilTempC - lower.soilTempC)
  const here =
    rate(lower.daysToEmergence) + part * (rate(upper.daysToEmergence) - rate(lower.daysToEmergence))
  if (here > 0) return { days: 1 / here, reason: null }
  const firstThatGrew = points.find((point) => point.daysToEmergence !== null)
  const isCold = firstThatGrew !== undefined && soilTempC < firstThatGrew.soilTempC
  return { days: null, reason: isCold ? 'too cold' : 'too hot' }
}

/** Past the end of the table: if nothing came up at its end, nothing will beyond; else nobody tried. */
const beyond = (atTheEnd: number | null | undefined, reason: 'too cold' | 'too hot'): Emergence => ({
  days: null,
  reason: atTheEnd === null ? reason : 'not tested',
})
