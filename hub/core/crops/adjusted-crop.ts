/** A crop with the grower's own numbers in place of the library's. Their source is then 'grower'. */
import { lengthWords } from '../space/room-words.js'
import type { Crop, Sourced } from './crop.js'

/** What can be adjusted, with the range that makes sense. */
export const ADJUSTABLE = {
  baseC: { label: 'base temperature', unit: '°C', min: -5, max: 15 },
  upperC: { label: 'upper temperature', unit: '°C', min: 15, max: 40 },
  degreeDaysToHeading: { label: 'degree days until it forms', unit: '°C·d', min: 10, max: 5_000 },
  degreeDaysToReady: { label: 'degree days until ready', unit: '°C·d', min: 20, max: 6_000 },
  degreeDaysToFinished: { label: 'degree days until past its best', unit: '°C·d', min: 30, max: 8_000 },
  heatAboveC: { label: 'heat hours count above', unit: '°C', min: 15, max: 45 },
  heatWatchHours: { label: 'heat hours worth a look', unit: 'h', min: 1, max: 500 },
  heatLikelyHours: { label: 'heat hours that harm', unit: 'h', min: 1, max: 1_000 },
  chillWatchDays: { label: 'days of chill worth a look', unit: 'd', min: 1, max: 200 },
  chillLikelyDays: { label: 'days of chill until it flowers', unit: 'd', min: 1, max: 300 },
  warmWatchDays: { label: 'warm long days worth a look', unit: 'd', min: 1, max: 100 },
  warmLikelyDays: { label: 'warm long days until it flowers', unit: 'd', min: 1, max: 200 },
  frostDamageC: { label: 'frost marks leaves below', unit: '°C', min: -30, max: 5 },
  betweenPlantsM: { label: 'between plants', unit: 'm', min: 0.02, max: 3 },
} as const

export type Adjustable = keyof typeof ADJUSTABLE
export type Adjustments = Readonly<Partial<Record<Adjustable, number>>>

/** 'base temperature, °C' */
export const adjustableLabel = (field: Adjustable): string =>
  `${ADJUSTABLE[field].label}, ${ADJUSTABLE[field].unit}`

/** Why adjustments cannot be taken; empty: they can. For the form, by field. */
export interface AdjustmentProblem {
  readonly field: Adjustable
  readonly message: string
}

/** Checks adjustments by themselves and, taken together, in the crop they are for. */
export function adjustmentProblems(crop: Crop, adjustments: Adjustments): AdjustmentProblem[] {
  const problems: AdjustmentProblem[] = []
  for (const [name, { label, unit, min, max }] of Object.entries(ADJUSTABLE)) {
    const field = name as Adjustable
    const value = adjustments[field]
    if (value === undefined) continue
    if (!(value >= min && value <= max)) {
      const range =
        unit === 'm'
          ? `: from ${lengthWords(min)} to ${lengthWords(max)}, not ${lengthWords(value)}`
          : `, ${unit}: from ${min} to ${max}, not ${value}`
      problems.push({ field, message: `${label}${range}` })
    } else if (!has(crop, field)) {
      problems.push({ field, message: `${label} does not apply to ${crop.name}` })
    }
  }
  if (problems.length > 0) return problems
  const adjusted = adjustedCrop(crop, adjustments)
  for (const [lower, higher, lowerValue, higherValue] of ordered(adjusted)) {
    if (lowerValue >= higherValue) {
      const field = adjustments[higher] === undefined ? lower : higher
      problems.push({
        field,
        message: `${adjustableLabel(lower)} (${lowerValue}) must be below ${adjustableLabel(higher)} (${higherValue})`,
      })
    }
  }
  return problems
}

/** The crop with adjustments taken in; those that do not apply to it are passed over. Check them before. */
export function adjustedCrop(crop: Crop, adjustments: Adjustments): Crop {
  const own = (field: Adjustable, library: Sourced): Sourced => {
    const value = adjustments[field]
    return value === undefined
      ? library
      : { value, source: 'grower', note: `yours; the library has ${library.value}` }
  }
  const { degreeDays, heat, coldBolting, heatBolting, frost, spacing } = crop
  return {
    ...crop,
    baseC: own('baseC', crop.baseC),
    upperC: own('upperC', crop.upperC),
    degreeDays: {
      ...degreeDays,
      toHeading: degreeDays.toHeading && own('degreeDaysToHeading', degreeDays.toHeading),
      toReady: own('degreeDaysToReady', degreeDays.toReady),
      toFinished: own('degreeDaysToFinished', degreeDays.toFinished),
    },
    heat: heat && {
      ...heat,
      aboveC: own('heatAboveC', heat.aboveC),
      watchHours: own('heatWatchHours', heat.watchHours),
      likelyHours: own('heatLikelyHours', heat.likelyHours),
    },
    coldBolting: coldBolting && {
      ...coldBolting,
      watchDays: own('chillWatchDays', coldBolting.watchDays),
      likelyDays: own('chillLikelyDays', coldBolting.likelyDays),
    },
    heatBolting: heatBolting && {
      ...heatBolting,
      watchDays: own('warmWatchDays', heatBolting.watchDays),
      likelyDays: own('warmLikelyDays', heatBolting.likelyDays),
    },
    frost: { ...frost, damageC: own('frostDamageC', frost.damageC) },
    spacing: { ...spacing, betweenPlantsM: own('betweenPlantsM', spacing.betweenPlantsM) },
  }
}

function has(crop: Crop, field: Adjustable): boolean {
  if (field === 'degreeDaysToHeading') return crop.degreeDays.toHeading !== null
  if (field.startsWith('heat')) return crop.heat !== null
  if (field.startsWith('chill')) return crop.coldBolting !== null
  if (field.startsWith('warm')) return crop.heatBolting !== null
  return true
}

/** Pairs whose first must lie below its second. */
function ordered(crop: Crop): [Adjustable, Adjustable, number, number][] {
  const { degreeDays, heat, coldBolting, heatBolting } = crop
  const pairs: [Adjustable, Adjustable, Sourced | null | undefined, Sourced | null | undefined][] = [
    ['baseC', 'upperC', crop.baseC, crop.upperC],
    ['degreeDaysToHeading', 'degreeDaysToReady', degreeDays.toHeading, degreeDays.toReady],
    ['degreeDaysToReady', 'degreeDaysToFinished', degreeDays.toReady, degreeDays.toFinished],
    ['heatWatchHours', 'heatLikelyHours', heat?.watchHours, heat?.likelyHours],
    ['chillWatchDays', 'chillLikelyDays', coldBolting?.watchDays, coldBolting?.likelyDays],
    ['warmWatchDays', 'warmLikelyDays', heatBolting?.watchDays, heatBolting?.likelyDays],
  ]
  return pairs.flatMap(([lower, higher, a, b]) =>
    a && b ? [[lower, higher, a.value, b.value] as [Adjustable, Adjustable, number, number]] : [],
  )
}
