/**
 * What grows in the demo's beds. The dates are counted back from the first start, by the degree days that the
 * beds really had, so that the crops stand where the story needs them: heading while the warm spell comes.
 */
import { addDays, localDate, startOfDayMs } from '../../../shared/local-time.js'
import type { Crop } from '../../core/crops/crop.js'
import type { BedHistory } from './history.js'
import type { DemoCut, DemoPlanting } from './journal.js'
import type { Scenario } from './scenario.js'

const HOUR_MS = 3_600_000

interface Plan {
  readonly bed: string
  readonly crop: string
  readonly variety: string | null
  readonly plants: number
  readonly spacingM: number
  /** degree days by now, as a part of the way from heading (0) to ready (1), or below 0 of the way to heading */
  readonly progress: number
  /** raised in trays for so long before planting out */
  readonly daysInTrays: number
}

/** Spacing and numbers fit the beds of beds.ts. Variety names are invented. */
const PLANS: readonly Plan[] = [
  {
    bed: 'long-bed',
    crop: 'cabbage-early',
    variety: 'Lantern',
    plants: 16,
    spacingM: 0.4,
    progress: 0.55,
    daysInTrays: 38,
  },
  {
    bed: 'long-bed',
    crop: 'broccoli',
    variety: null,
    plants: 6,
    spacingM: 0.45,
    progress: -0.35,
    daysInTrays: 35,
  },
  {
    bed: 'wall-bed',
    crop: 'cabbage-early',
    variety: 'Lantern',
    plants: 10,
    spacingM: 0.4,
    progress: 0.5,
    daysInTrays: 38,
  },
  {
    bed: 'yard-tubs',
    crop: 'lettuce-head',
    variety: 'Paper Boat',
    plants: 6,
    spacingM: 0.3,
    progress: 0.5,
    daysInTrays: 28,
  },
]

/** Planted out as the months before now begin, and cut since: what there is to look back on. */
const CUT_PLANS: readonly (Omit<Plan, 'progress'> & {
  /** what a head weighed and measured */
  readonly headKg: number
  readonly headMm: number
  /** lost on the way */
  readonly lost: number
})[] = [
  {
    bed: 'long-bed',
    crop: 'lettuce-head',
    variety: 'Paper Boat',
    plants: 8,
    spacingM: 0.3,
    daysInTrays: 30,
    headKg: 0.47,
    headMm: 160,
    lost: 0,
  },
  {
    bed: 'wall-bed',
    crop: 'lettuce-head',
    variety: 'Paper Boat',
    plants: 7,
    spacingM: 0.3,
    daysInTrays: 30,
    headKg: 0.3,
    headMm: 130,
    lost: 1,
  },
]
const LAST_CUT_AFTER_DAYS = 6

type CropOf = (id: string) => Crop | undefined

/**
 * @param cropOf  the crop library
 * @throws RangeError  a plan names a crop that the library does not have
 */
export function demoPlantings(
  scenario: Scenario,
  history: readonly BedHistory[],
  cropOf: CropOf,
): DemoPlanting[] {
  return [...cutPlantings(scenario, history, cropOf), ...standingPlantings(scenario, history, cropOf)]
}

/** @throws RangeError  the crop or the bed is not there */
function whereItGrows(
  plan: Pick<Plan, 'bed' | 'crop'>,
  history: readonly BedHistory[],
  cropOf: CropOf,
): { readonly crop: Crop; readonly bed: BedHistory } {
  const crop = cropOf(plan.crop)
  const bed = history.find((candidate) => candidate.bed.id === plan.bed)
  if (!crop || !bed) throw new RangeError(`the demo plants ${plan.crop} in ${plan.bed}, which is not there`)
  return { crop, bed }
}

function cutPlantings(scenario: Scenario, history: readonly BedHistory[], cropOf: CropOf): DemoPlanting[] {
  const { historyFromMs, startedAtMs, garden } = scenario
  const outOn = addDays(localDate(historyFromMs, garden.timeZone), 2)
  const yesterday = addDays(localDate(startedAtMs, garden.timeZone), -1)
  return CUT_PLANS.flatMap(({ daysInTrays, headKg, headMm, lost, ...plan }): DemoPlanting[] => {
    const { crop, bed } = whereItGrows(plan, history, cropOf)
    const headingOn = dateAfter(scenario, bed.hourlyAirC, crop, outOn, degreeDaysAt(crop, 0))
    const readyOn = dateAfter(scenario, bed.hourlyAirC, crop, outOn, degreeDaysAt(crop, 1))
    // in a cool year they are not ready yet, and the demo does without
    if (headingOn === null || readyOn === null || readyOn > yesterday) return []
    const lastOn = [addDays(readyOn, LAST_CUT_AFTER_DAYS), yesterday].sort()[0]!
    const first = Math.ceil((plan.plants - lost) * 0.6)
    const cut = (on: string, plants: number): DemoCut => ({
      on,
      plants,
      weightKg: Math.round(plants * headKg * 100) / 100,
      diameterMm: headMm,
    })
    const cuts =
      lastOn > readyOn
        ? [cut(readyOn, first), cut(lastOn, plan.plants - lost - first)]
        : [cut(readyOn, plan.plants - lost)]
    const sownOn = addDays(outOn, -daysInTrays)
    return [{ ...plan, sownOn, plantedOutOn: outOn, finishedOn: lastOn, headingOn, cuts }]
  })
}

function standingPlantings(
  scenario: Scenario,
  history: readonly BedHistory[],
  cropOf: CropOf,
): DemoPlanting[] {
  return PLANS.map(({ progress, daysInTrays, ...plan }) => {
    const { crop, bed } = whereItGrows(plan, history, cropOf)
    const start = dateBefore(scenario, bed.hourlyAirC, crop, degreeDaysAt(crop, progress))
    const headingOn =
      progress < 0
        ? null
        : dateBefore(scenario, bed.hourlyAirC, crop, degreeDaysAt(crop, progress) - degreeDaysAt(crop, 0))
    return {
      ...plan,
      headingOn,
      cuts: [],
      sownOn: addDays(start, -daysInTrays),
      plantedOutOn: start,
      finishedOn: null,
    }
  })
}

function degreeDaysAt(crop: Crop, progress: number): number {
  const ready = crop.degreeDays.toReady.value
  const heading = crop.degreeDays.toHeading?.value ?? ready / 2
  return progress < 0 ? heading * (1 + progress) : heading + progress * (ready - heading)
}

/** °C·d of an hour */
const warmthOf = (airC: number, { baseC, upperC }: Crop): number =>
  (Math.min(Math.max(airC, baseC.value), upperC.value) - baseC.value) / 24

/** The date since which the bed has had so many degree days; the history's second day if it never had as many. */
function dateBefore(
  scenario: Scenario,
  hourlyAirC: readonly number[],
  crop: Crop,
  degreeDaysC: number,
): string {
  const { historyFromMs, startedAtMs, garden } = scenario
  const hours = Math.floor((startedAtMs - historyFromMs) / HOUR_MS)
  let sum = 0
  for (let hour = Math.min(hours, hourlyAirC.length) - 1; hour >= 24; hour--) {
    sum += warmthOf(hourlyAirC[hour]!, crop)
    if (sum >= degreeDaysC) return localDate(historyFromMs + hour * HOUR_MS, garden.timeZone)
  }
  return addDays(localDate(historyFromMs, garden.timeZone), 1)
}

/** The date on which the bed has had so many degree days since another; null: not yet. */
function dateAfter(
  { historyFromMs, garden: { timeZone } }: Scenario,
  hourlyAirC: readonly number[],
  crop: Crop,
  from: string,
  degreeDaysC: number,
): string | null {
  let sum = 0
  const first = Math.round((startOfDayMs(from, timeZone) - historyFromMs) / HOUR_MS)
  for (let hour = first; hour < hourlyAirC.length; hour++) {
    sum += warmthOf(hourlyAirC[hour]!, crop)
    if (sum >= degreeDaysC) return localDate(historyFromMs + hour * HOUR_MS, timeZone)
  }
  return null
}
