/**
 * What grows in the demo's beds. The dates are counted back from the first start, by the degree days that the
 * beds really had, so that the crops stand where the story needs them: heading while the warm spell comes.
 */
import { addDays, localDate } from '../../../shared/local-time.js'
import type { Crop } from '../../core/crops/crop.js'
import type { BedHistory } from './history.js'
import type { DemoPlanting } from './journal.js'
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
  /** raised in trays for so long before planting out; null: sown in place */
  readonly daysInTrays: number | null
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

/**
 * @param cropOf  the crop library
 * @throws RangeError  a plan names a crop that the library does not have
 */
export function demoPlantings(
  scenario: Scenario,
  history: readonly BedHistory[],
  cropOf: (id: string) => Crop | undefined,
): DemoPlanting[] {
  return PLANS.map(({ progress, daysInTrays, ...plan }) => {
    const crop = cropOf(plan.crop)
    const bed = history.find((candidate) => candidate.bed.id === plan.bed)
    if (!crop || !bed) throw new RangeError(`the demo plants ${plan.crop} in ${plan.bed}, which is not there`)
    const start = dateBefore(scenario, bed.hourlyAirC, crop, degreeDaysAt(crop, progress))
    const headingOn =
      progress < 0
        ? null
        : dateBefore(scenario, bed.hourlyAirC, crop, degreeDaysAt(crop, progress) - degreeDaysAt(crop, 0))
    return daysInTrays === null
      ? { ...plan, headingOn, sownOn: start, plantedOutOn: null, finishedOn: null }
      : {
          ...plan,
          headingOn,
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
    const airC = Math.min(Math.max(hourlyAirC[hour]!, crop.baseC.value), crop.upperC.value)
    sum += (airC - crop.baseC.value) / 24
    if (sum >= degreeDaysC) return localDate(historyFromMs + hour * HOUR_MS, garden.timeZone)
  }
  return addDays(localDate(historyFromMs, garden.timeZone), 1)
}
