/** What each bed offers a crop that is to head on given days: sun to expect, warmth against the others, what grew there. */
import type { Garden, Planting } from '../../shared/api/garden.js'
import { addDays, daysBetween, localDate } from '../../shared/local-time.js'
import { findGardenCrop } from '../core/crops/garden-crops.js'
import type { BedOffer, FormerPlanting } from '../core/plan/bed-ranking.js'
import { COMPLETE_COVERAGE } from '../core/quality/completeness.js'
import type { BedMeasurements, TemperatureDay } from './measured.js'
import { withPatience } from './patience.js'
import type { GardenRepository } from './port.js'
import type { BedSkies } from './skies.js'

/** Warmth of beds against each other is told from the last year, and not from fewer days than these in common. */
const WARMTH_DAYS = 365
const FEWEST_COMMON_DAYS = 14
/** Whoever asks waits this long for a bed's year. */
const PATIENCE_MS = 2_000

interface Asked {
  readonly plantingOn: string
  readonly heading: { readonly from: string; readonly to: string }
  readonly today: string
}

/** All beds of a garden, in its order. */
export async function bedOffers(
  deps: {
    readonly garden: GardenRepository
    readonly measurements: Pick<BedMeasurements, 'temperatures'>
    readonly skies: Pick<BedSkies, 'outlook'>
  },
  garden: Garden,
  asked: Asked,
): Promise<BedOffer[]> {
  const { garden: repository } = deps
  const [beds, plantings, crops] = await Promise.all([
    repository.listBeds(garden.id),
    repository.listPlantings(garden.id),
    repository.listCrops(garden.id),
  ])
  const cropOf = (id: string) => findGardenCrop(id, crops)?.crop
  const meansByBed = new Map<string, ReadonlyMap<string, number>>()
  for (const bed of beds) meansByBed.set(bed.id, await dailyMeans(deps, garden, bed.id, asked.today))
  const offers: BedOffer[] = []
  for (const bed of beds) {
    offers.push({
      bed: bed.id,
      name: bed.name,
      ...(await sunOf(deps.skies, garden.id, bed.id, asked.heading)),
      warmerByC: warmerBy(bed.id, meansByBed),
      former: plantings
        .filter((planting) => planting.bed === bed.id)
        .flatMap((planting) => former(planting, cropOf, asked) ?? []),
    })
  }
  return offers
}

/** Daily means of the last year, of days measured well enough. */
async function dailyMeans(
  deps: { readonly garden: GardenRepository; readonly measurements: Pick<BedMeasurements, 'temperatures'> },
  garden: Garden,
  bed: string,
  today: string,
): Promise<ReadonlyMap<string, number>> {
  const placements = await deps.garden.listPlacements(garden.id, bed)
  if (placements.length === 0) return new Map()
  const since = localDate(Math.min(...placements.map(({ fromMs }) => fromMs)), garden.timeZone)
  const yearAgo = addDays(today, -WARMTH_DAYS)
  const skipped = Math.max(daysBetween(yearAgo, since), 0)
  if (skipped >= WARMTH_DAYS) return new Map()
  const isKnown = ({ airCoverage }: TemperatureDay): boolean => airCoverage >= COMPLETE_COVERAGE
  const adding = deps.measurements.temperatures(garden.id, bed, addDays(yearAgo, skipped), addDays(today, -1))
  // a store without roll-ups takes long to add a year up the first time: beds are then ranked without it
  const records = ((await withPatience(adding, PATIENCE_MS)) ?? []).filter(isKnown)
  return new Map(
    records.flatMap(({ date, airTempMeanC }) => (airTempMeanC === null ? [] : [[date, airTempMeanC]])),
  )
}

/** Mean difference from the mean of the other beds, on the days both are known; null: too few of them. */
function warmerBy(bed: string, meansByBed: ReadonlyMap<string, ReadonlyMap<string, number>>): number | null {
  let sumC = 0
  let days = 0
  for (const [date, hereC] of meansByBed.get(bed) ?? []) {
    const others = [...meansByBed].flatMap(([other, means]) => (other === bed ? [] : (means.get(date) ?? [])))
    if (others.length === 0) continue
    sumC += hereC - others.reduce((sum, otherC) => sum + otherC, 0) / others.length
    days++
  }
  return days < FEWEST_COMMON_DAYS ? null : sumC / days
}

type Sun = Pick<BedOffer, 'expectedSunHours' | 'possibleSunHours'>

async function sunOf(
  skies: Pick<BedSkies, 'outlook'>,
  garden: string,
  bed: string,
  { from, to }: Asked['heading'],
): Promise<Sun> {
  const days = await skies.outlook(garden, bed, from, to > from ? to : from)
  // without a skyline the hours are those of an open field, which the bed may not be
  if (days.skyline === 'none') return { expectedSunHours: null, possibleSunHours: null }
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, value) => sum + value, 0) / values.length
  const expected = days.days.flatMap(({ expectedSunHours }) => expectedSunHours ?? [])
  return {
    possibleSunHours: mean(days.days.map(({ possibleSunHours }) => possibleSunHours)),
    expectedSunHours: expected.length === days.days.length ? mean(expected) : null,
  }
}

/** Null: not there before the day of planting, or of a crop nobody knows. */
function former(
  { crop: id, sownOn, plantedOutOn, finishedOn }: Planting,
  cropOf: (id: string) => FormerPlanting['crop'] | undefined,
  { plantingOn, today }: Asked,
): FormerPlanting | null {
  const crop = cropOf(id)
  const began = plantedOutOn ?? sownOn
  // a plan for later has not grown there; one that begins on the very day is this planting itself
  if (!crop || began === null || began > today || began >= plantingOn) return null
  const until = finishedOn ?? today
  const isStanding = until >= today
  return { crop, until: daysBetween(until, plantingOn) < 0 ? plantingOn : until, isStanding }
}
