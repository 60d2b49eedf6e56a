/**
 * A season looked back upon: days of beds, plantings with their stages, doses, warnings and journal, and heads compared. Rests on
 * kept day records; what is not kept yet is computed bed by bed and month by month, while whoever asked is told how far it is.
 */
import type { Bed, Garden, Planting } from '../../shared/api/garden.js'
import type { JournalEntry } from '../../shared/api/journal.js'
import type { HeadComparison, ReviewBed } from '../../shared/api/review.js'
import { addDays, localDate } from '../../shared/local-time.js'
import { compareHeads, type WeighedPlanting } from '../core/review/head-comparison.js'
import type { BedMeasurements } from './measured.js'
import { withPatience } from './patience.js'
import { plantingLookedBack, type ReckonedPlanting, rounded, startOf } from './planting-look-back.js'
import { GardenError, type GardenRepository, type StoredPlacement, type StoredWarning } from './port.js'
import type { LookedBack, ReviewState, SeasonReviews } from './review-port.js'

/** Whoever asks waits for this long at most, and is told to ask again. */
const PATIENCE_MS = 2_500
/** A result that nobody was there to take is held for so long. */
const KEPT_MS = 15_000
/** More than a garden of many beds raises in six years. */
const MOST_WARNINGS = 20_000

interface Work {
  done: number
  of: number
  readonly result: Promise<LookedBack>
}

interface Parts {
  readonly garden: Garden
  readonly fromDate: string
  readonly toDate: string
  readonly beds: readonly Bed[]
  readonly placements: readonly StoredPlacement[]
  readonly warnings: readonly StoredWarning[]
  readonly journal: readonly JournalEntry[]
}

export function createSeasonReviews(deps: {
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
  readonly now: () => number
}): SeasonReviews {
  const { garden: repository, measurements, now } = deps
  const running = new Map<string, Work>()

  const bedDays = async (
    parts: Parts,
    bed: Bed,
    months: readonly { from: string; to: string }[],
    onMonth: () => void,
  ): Promise<ReviewBed> => {
    const records = []
    for (const { from, to } of months) {
      records.push(...(await measurements.days(parts.garden.id, bed.id, from, to)))
      onMonth()
    }
    return {
      bed: bed.id,
      name: bed.name,
      days: {
        date: records.map((day) => day.date),
        sunHours: records.map((day) => rounded(day.sunHours, 2)),
        possibleSunHours: records.map((day) => Math.round(day.possibleSunHours * 100) / 100),
        minC: records.map((day) => rounded(day.airTempMinC, 1)),
        meanC: records.map((day) => rounded(day.airTempMeanC, 1)),
        maxC: records.map((day) => rounded(day.airTempMaxC, 1)),
        degreeDaysC: records.map((day) => rounded(day.degreeDaysC, 2)),
      },
    }
  }

  const lookBack = async (parts: Parts, planting: Planting): Promise<ReckonedPlanting> => {
    const season = await measurements.season(parts.garden.id, planting)
    return plantingLookedBack(season, {
      bedName: parts.beds.find(({ id }) => id === planting.bed)?.name ?? planting.bed,
      garden: parts.garden,
      journal: parts.journal,
      warnings: parts.warnings,
    })
  }

  const reckon = async (
    garden: Garden,
    fromDate: string,
    toDate: string,
    planting: string | null,
    work: { done: number; of: number },
  ): Promise<LookedBack> => {
    const [beds, placements, plantings, warnings, journal] = await Promise.all([
      repository.listBeds(garden.id),
      repository.listPlacements(garden.id),
      repository.listPlantings(garden.id),
      repository.listWarnings(garden.id, MOST_WARNINGS),
      repository.listJournal(garden.id),
    ])
    const parts: Parts = { garden, fromDate, toDate, beds, placements, warnings, journal }
    const grown = plantings
      .filter((one) => (planting === null ? isWithin(one, fromDate, toDate) : one.id === planting))
      .sort((a, b) => (startOf(a) < startOf(b) ? -1 : startOf(a) > startOf(b) ? 1 : a.id < b.id ? -1 : 1))
    const measured = (planting === null ? beds : []).map((bed) => ({
      bed,
      months: monthsOf(measuredWithin(parts, bed.id)),
    }))
    work.of = measured.reduce((sum, { months }) => sum + months.length, grown.length)
    const tell = (): void => {
      work.done++
    }
    // one after the other: each reads months of readings at a time, and other work must get its turn
    const looked: ReviewBed[] = []
    for (const { bed, months } of measured) looked.push(await bedDays(parts, bed, months, tell))
    const reckoned: ReckonedPlanting[] = []
    for (const one of grown) {
      reckoned.push(await lookBack(parts, one))
      tell()
    }
    return {
      from: fromDate,
      to: toDate,
      since: sinceOf(plantings, placements, garden.timeZone),
      beds: looked,
      plantings: reckoned.map(({ lookedBack }) => lookedBack),
      comparisons: comparisonsOf(reckoned),
    }
  }

  return {
    async of(gardenId, fromDate, asked, planting): Promise<ReviewState> {
      const garden = await repository.getGarden(gardenId)
      if (!garden) throw new GardenError('UNKNOWN_GARDEN', `There is no garden "${gardenId}".`)
      const today = localDate(now(), garden.timeZone)
      const toDate = earlier(asked, today)
      const key = JSON.stringify([gardenId, fromDate, toDate, planting])
      let work = running.get(key)
      if (!work) {
        const begun = { done: 0, of: 0 }
        const result = reckon(garden, fromDate, toDate, planting, begun)
        const mine: Work = Object.assign(begun, { result })
        work = mine
        running.set(key, mine)
        const forget = (): void => {
          if (running.get(key) === mine) running.delete(key)
        }
        // who asked while it was under way comes back for it; whoever asks later gets it anew, since the rest may have changed
        result.then(() => setTimeout(forget, KEPT_MS).unref(), forget)
      }
      const review = await withPatience(work.result, PATIENCE_MS)
      if (review !== null) running.delete(key)
      return { review, done: work.done, of: work.of }
    },
  }
}

/** Crop by crop: a lettuce is no poor cabbage. */
function comparisonsOf(reckoned: readonly ReckonedPlanting[]): HeadComparison[] {
  const crops = new Map<string, { name: string; weighed: WeighedPlanting[] }>()
  for (const { lookedBack, weighed } of reckoned) {
    if (weighed === null) continue
    const { crop, cropName } = lookedBack
    const group = crops.get(crop) ?? { name: cropName, weighed: [] }
    crops.set(crop, group)
    group.weighed.push(weighed)
  }
  return [...crops].flatMap(([id, { name, weighed }]) => compareHeads({ id, name }, weighed) ?? [])
}

/** Did it stand in the garden between these dates? */
function isWithin(planting: Planting, fromDate: string, toDate: string): boolean {
  const from = planting.sownOn ?? planting.plantedOutOn
  if (from === null || from > toDate) return false
  return planting.finishedOn === null || planting.finishedOn >= fromDate
}

/** The part of the time asked for in which a node stood in a bed; null: none did. */
function measuredWithin(
  { placements, fromDate, toDate, garden: { timeZone } }: Parts,
  bed: string,
): { from: string; to: string } | null {
  const here = placements.filter((one) => one.bed === bed)
  if (here.length === 0) return null
  const first = localDate(Math.min(...here.map(({ fromMs }) => fromMs)), timeZone)
  const last = here.some(({ toMs }) => toMs === null)
    ? toDate
    : localDate(Math.max(...here.map(({ toMs }) => toMs ?? 0)) - 1, timeZone)
  const from = first > fromDate ? first : fromDate
  const to = last < toDate ? last : toDate
  return from > to ? null : { from, to }
}

/** Cut where months end. */
function monthsOf(dates: { from: string; to: string } | null): { from: string; to: string }[] {
  if (dates === null) return []
  const months: { from: string; to: string }[] = []
  for (let from = dates.from; from <= dates.to; ) {
    const next = `${addDays(`${from.slice(0, 7)}-28`, 4).slice(0, 7)}-01`
    months.push({ from, to: earlier(addDays(next, -1), dates.to) })
    from = next
  }
  return months
}

function sinceOf(
  plantings: readonly Planting[],
  placements: readonly StoredPlacement[],
  timeZone: string,
): string | null {
  const dates = [
    ...plantings.flatMap(({ sownOn, plantedOutOn }) => sownOn ?? plantedOutOn ?? []),
    ...placements.map(({ fromMs }) => localDate(fromMs, timeZone)),
  ]
  return dates.sort()[0] ?? null
}

/** Of two dates. */
const earlier = (a: string, b: string): string => [a, b].sort()[0]!
