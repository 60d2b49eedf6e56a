/** One planting looked back upon: its days, stages, doses, what was warned of, written and cut. Pure. */
import type { Garden, Planting } from '../../shared/api/garden.js'
import type { JournalEntry } from '../../shared/api/journal.js'
import type { HeadFactor } from '../../shared/api/review.js'
import { dayOfYear, localDate } from '../../shared/local-time.js'
import { countedFrom } from '../core/crops/stages.js'
import { isPickedOver } from '../core/crops/standing.js'
import { entriesAbout } from '../core/journal/entries-about.js'
import { harvestOf } from '../core/review/harvest.js'
import type { WeighedPlanting } from '../core/review/head-comparison.js'
import { formingDays, meanSunHours, meanWarmthC, stageShares } from '../core/review/stage-shares.js'
import { plantingReport } from './planting-report.js'
import type { PlantingSeason } from './planting-season.js'
import type { StoredWarning } from './port.js'
import type { PlantingLookedBack } from './review-port.js'

export interface ReckonedPlanting {
  readonly lookedBack: PlantingLookedBack
  /** to be compared with others; null: no head of it was weighed */
  readonly weighed: WeighedPlanting | null
}

/** What is kept of the whole garden. */
export interface KeptBeside {
  readonly garden: Pick<Garden, 'timeZone' | 'latitudeDeg'>
  readonly bedName: string
  readonly journal: readonly JournalEntry[]
  readonly warnings: readonly StoredWarning[]
}

export function plantingLookedBack(season: PlantingSeason, kept: KeptBeside): ReckonedPlanting {
  const { planting } = season
  const { doses, coverage, stageName, cropName } = plantingReport(season, [], null)
  const { records, sums, known } = season
  const journal = kept.journal.filter((entry) => entry.planting === planting.id)
  // one feeds and waters a bed as a whole
  const about = entriesAbout(planting, kept.journal)
  const stages = stageShares(records, sums.sumC, season.marks)
  const harvest = harvestOf(journal)
  const forming = formingDays(records, stages, harvest.firstCutOn)
  const factors: Record<HeadFactor, number | null> = {
    sun: meanSunHours(forming),
    warmth: meanWarmthC(forming),
    heat: doses.heat?.amount ?? null,
    chill: doses.chill?.amount ?? null,
    spacing: planting.spacingM * 100,
    start: season.counted === null ? null : dayOfSeason(season.counted.date, kept.garden.latitudeDeg),
    feeding: about.filter(({ kind }) => kind === 'fed').length,
    watering: about.filter(({ kind }) => kind === 'watered').length,
  }
  const lookedBack: PlantingLookedBack = {
    planting: planting.id,
    bed: planting.bed,
    bedName: kept.bedName,
    crop: planting.crop,
    cropName,
    forms: known?.crop.forms ?? 'head',
    variety: planting.variety,
    plants: planting.plants,
    spacingM: planting.spacingM,
    sownOn: planting.sownOn,
    plantedOutOn: planting.plantedOutOn,
    finishedOn: planting.finishedOn,
    stageName,
    coverage,
    heatAboveC: known?.crop.heat?.aboveC.value ?? null,
    days: {
      date: records.map((day) => day.date),
      sunHours: records.map((day) => rounded(day.sunHours, 2)),
      possibleSunHours: records.map((day) => Math.round(day.possibleSunHours * 100) / 100),
      minC: records.map((day) => rounded(day.airTempMinC, 1)),
      meanC: records.map((day) => rounded(day.airTempMeanC, 1)),
      maxC: records.map((day) => rounded(day.airTempMaxC, 1)),
      soilMeanC: records.map((day) => rounded(day.soilTempMeanC, 1)),
      degreeDaysC: [...sums.sumC].map((sum) => Math.round(sum * 10) / 10),
      heatHours: records.map((day) => rounded(day.heatHours, 2)),
      chillHours: records.map((day) => rounded(day.chillHours, 2)),
    },
    stages,
    doses,
    warnings: kept.warnings
      .filter((one) => concerns(one, planting, kept.garden.timeZone, records.at(-1)?.date ?? null))
      .sort((a, b) => a.raisedAtMs - b.raisedAtMs),
    journal,
    harvest,
  }
  const { weightPerHeadKg, weighedHeads } = harvest
  // what is picked over has no head to weigh
  const isWeighed = weightPerHeadKg !== null && !(known && isPickedOver(known.crop))
  return {
    lookedBack,
    weighed: isWeighed ? { id: planting.id, weightPerHeadKg, weighedHeads, factors } : null,
  }
}

/**
 * Day of the year, 1 to 366; south of the equator, where seasons run over New Year, days before the first of July count on
 * after 31 December.
 */
function dayOfSeason(date: string, latitudeDeg: number): number {
  const day = dayOfYear(date)
  return latitudeDeg < 0 && date.slice(5) < '07-01' ? day + 365 : day
}

/** When its days are counted from; one without dates comes last. */
export const startOf = (planting: Planting): string =>
  countedFrom(planting)?.date ?? planting.sownOn ?? '9999-12-31'

/** Warnings of the planting itself, and of frost in its bed while it stood there. */
function concerns(
  warning: StoredWarning,
  planting: Planting,
  timeZone: string,
  lastDate: string | null,
): boolean {
  if (warning.planting === planting.id) return true
  if (warning.kind !== 'frost' || warning.bed !== planting.bed) return false
  const on = localDate(warning.raisedAtMs, timeZone)
  return on >= startOf(planting) && (lastDate === null || on <= lastDate)
}

export function rounded(value: number | null, decimals: number): number | null {
  if (value === null) return null
  const scale = 10 ** decimals
  return Math.round(value * scale) / scale
}
