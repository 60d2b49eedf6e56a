/** Shaded beds before a simulated skyline: states, sun hours, skyline and outlook against the truth. */
import { NO_READINGS } from '../../hub/core/readings.js'
import { type BedSunLearned, learnBedSun } from '../../hub/core/sun/bed-sun.js'
import { type Horizon, possibleSunHours } from '../../hub/core/sun/possible-sun.js'
import { SECTORS, sectorMiddleDeg, sectorOf } from '../../hub/core/sun/skyline.js'
import { sunOutlook } from '../../hub/core/sun/sun-outlook.js'
import { SUN_STATES } from '../../hub/core/sun/sun-states.js'
import { addDays, localDate, localDays } from '../../shared/local-time.js'
import type { SunRecord } from '../support/measured-sunshine.js'
import { block, crown, fence, type ShadedBed, shadedBed, together, walls } from '../support/sky-simulator.js'

export const SKYLINES: readonly { readonly name: string; readonly horizon: Horizon }[] = [
  { name: 'open', horizon: () => 0 },
  { name: 'fence to the south', horizon: fence(1.8, 2.5, 180) },
  { name: 'high fence to the west', horizon: fence(2, 1.5, 260) },
  { name: 'house corner, fence east', horizon: together(block(190, 290, 45), fence(1.8, 4, 90)) },
  { name: 'crown to the south-east', horizon: crown(150, 35, 55) },
  { name: 'crown west, hedge east', horizon: together(crown(240, 30, 60), fence(1.8, 6, 100)) },
  { name: 'walls of 25° all around', horizon: walls(25) },
  { name: 'walls of 40° all around', horizon: walls(40) },
]

export interface ShadedScore {
  /** part of daylight readings that are rightly sun or not sun */
  readonly sunRight: number
  /** part of the rest that is rightly cloud or shade; null: too few */
  readonly shadeRight: number
  /** mean absolute error of daily sun hours, h */
  readonly error: number
  readonly bias: number
  /** median error where the sun has crossed the skyline, deg; null: nowhere */
  readonly crossedDeg: number | null
  /** median error where the skyline claims to be known, deg */
  readonly knownDeg: number | null
  /** part of the sectors that the sun has passed in which the band holds the truth */
  readonly inBand: number
  /** three months later: mean error of possible sun hours, mean width of the band, days whose truth lies in it */
  readonly laterError: number
  readonly laterWidth: number
  readonly laterInBand: number
}

export function shadedScore(record: SunRecord, horizon: Horizon, intervalMinutes = 1, gain = 1): ShadedScore {
  const bed = shadedBed(record, horizon, { intervalMinutes, gain })
  const learned = learnBedSun({ light: bed.light, irradiance: NO_READINGS }, record.place)
  return {
    ...stateScore(bed, learned, record, intervalMinutes),
    ...skylineScore(bed, learned, horizon),
    ...laterScore(learned, record, horizon),
  }
}

function stateScore(bed: ShadedBed, { states }: BedSunLearned, record: SunRecord, intervalMinutes: number) {
  let daylight = 0
  let sunRight = 0
  let rest = 0
  let shadeRight = 0
  const error = new Map<string, number>()
  for (const [i, truth] of bed.state.entries()) {
    if (truth === 'night') continue
    const ours = SUN_STATES[states.state[i]!]!
    daylight++
    if ((ours === 'sun') === (truth === 'sun')) sunRight++
    const date = localDate(bed.light.timeMs[i]!, record.timeZone)
    const wrong = ((ours === 'sun' ? 1 : 0) - (truth === 'sun' ? 1 : 0)) * (intervalMinutes / 60)
    error.set(date, (error.get(date) ?? 0) + wrong)
    if (ours === 'sun' || truth === 'sun') continue
    rest++
    if (ours === truth) shadeRight++
  }
  const errors = [...error.values()]
  return {
    sunRight: sunRight / daylight,
    shadeRight: shadeRight / Math.max(1, rest),
    error: errors.reduce((sum, e) => sum + Math.abs(e), 0) / errors.length,
    bias: errors.reduce((sum, e) => sum + e, 0) / errors.length,
  }
}

function skylineScore(bed: ShadedBed, { series, skyline }: BedSunLearned, horizon: Horizon) {
  const lowest = new Float64Array(SECTORS).fill(Number.POSITIVE_INFINITY)
  const highest = new Float64Array(SECTORS).fill(Number.NEGATIVE_INFINITY)
  for (let i = 0; i < bed.state.length; i++) {
    const elevation = series.elevationDeg[i]!
    if (elevation < 2) continue
    const sector = sectorOf(series.azimuthDeg[i]!)
    lowest[sector] = Math.min(lowest[sector]!, elevation)
    highest[sector] = Math.max(highest[sector]!, elevation)
  }
  const crossed: number[] = []
  const known: number[] = []
  let passed = 0
  let inBand = 0
  for (let sector = 0; sector < SECTORS; sector++) {
    if (highest[sector]! < lowest[sector]!) continue
    const truth = horizon(sectorMiddleDeg(sector))
    const error = Math.abs(skyline.elevationDeg[sector]! - truth)
    passed++
    if (truth >= skyline.lowDeg[sector]! && truth <= skyline.highDeg[sector]!) inBand++
    if (skyline.isKnown[sector] === 1) known.push(error)
    if (truth > lowest[sector]! && truth < highest[sector]!) crossed.push(error)
  }
  return { crossedDeg: median(crossed), knownDeg: median(known), inBand: inBand / passed }
}

function laterScore({ skyline }: BedSunLearned, record: SunRecord, horizon: Horizon) {
  const first = addDays(localDate(record.timeMs[0]!, record.timeZone), 90)
  const days = localDays(first, addDays(first, 29), record.timeZone)
  let error = 0
  let width = 0
  let within = 0
  for (const [i, day] of sunOutlook(days, record.place, skyline, null).entries()) {
    const truth = possibleSunHours(days[i]!.startMs, days[i]!.endMs, record.place, horizon)
    error += Math.abs(day.possibleSunHours - truth)
    width += day.possibleHigh - day.possibleLow
    if (truth >= day.possibleLow - 0.05 && truth <= day.possibleHigh + 0.05) within++
  }
  return {
    laterError: error / days.length,
    laterWidth: width / days.length,
    laterInBand: within / days.length,
  }
}

function median(values: readonly number[]): number | null {
  if (values.length === 0) return null
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[sorted.length >> 1]!
}

export function shadedReport(records: readonly SunRecord[]): string {
  const months = records.filter((record) => record.name.includes('lyngby'))
  const lines = [
    'Shaded beds: a skyline put before the measured direct and diffuse light of a month',
    'states right: sun or not sun, cloud or shade; h/day: error of daily sun hours (mean error);',
    'skyline: median error where the sun crossed it, and where it claims to be known; in band: sectors;',
    '3 months later: error of possible sun hours, width of the band, days whose truth lies in it\n',
    `${''.padEnd(36)}sun   shade   h/day           crossed known  in band  3 months later`,
  ]
  const deg = (value: number | null): string => (value === null ? '–' : `${value.toFixed(1)}°`).padStart(6)
  const percent = (part: number): string => `${(100 * part).toFixed(1)} %`.padStart(7)
  for (const interval of [1, 5, 15]) {
    lines.push(`every ${interval} min`)
    for (const { name, horizon } of SKYLINES) {
      for (const record of months) {
        const s = shadedScore(record, horizon, interval)
        const month = record.name.slice(-7).replace('_', '-')
        lines.push(
          `  ${name.padEnd(25)}${month}${percent(s.sunRight)}${percent(s.shadeRight)}  ${s.error.toFixed(2)} (${s.bias < 0 ? '' : '+'}${s.bias.toFixed(2)})  ${deg(s.crossedDeg)} ${deg(s.knownDeg)} ${percent(s.inBand)}   ${s.laterError.toFixed(2)} h  ${s.laterWidth.toFixed(1)} h ${percent(s.laterInBand)}`,
        )
      }
    }
  }
  return lines.join('\n')
}
