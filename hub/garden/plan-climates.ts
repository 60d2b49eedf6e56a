/** What a garden's plans can rest on: days measured in it, normals typed in, a year's file. */
import type { Garden } from '../../shared/api/garden.js'
import { addDays, daysBetween, localDate } from '../../shared/local-time.js'
import { climateFromDays } from '../core/plan/climate-from-days.js'
import { climateFromNormals } from '../core/plan/climate-from-normals.js'
import { measuredDays } from '../core/plan/measured-days.js'
import type { BedMeasurements, TemperatureDay } from './measured.js'
import { withPatience } from './patience.js'
import type { GardenRepository } from './port.js'
import type { PossibleBasis } from './season-plan-port.js'

/** Older years tell less of the climate of now, and take long to add up. */
const MOST_YEARS = 6
const DAYS_A_YEAR = 365
/** Whoever asks waits for past years this long; later they are there. */
const PATIENCE_MS = 4_000

export interface PlanClimates {
  /** in the order in which they are preferred */
  of(garden: Garden): Promise<PossibleBasis[]>
}

export function createPlanClimates(deps: {
  readonly garden: GardenRepository
  readonly measurements: Pick<BedMeasurements, 'temperatures'>
  readonly now: () => number
}): PlanClimates {
  const { garden: repository, measurements, now } = deps
  const loading = new Map<string, Promise<TemperatureDay[]>>()

  /** Null: still being added up. Who asks meanwhile waits for the same sum. */
  const recordsOf = async (
    garden: string,
    bed: string,
    from: string,
    to: string,
  ): Promise<TemperatureDay[] | null> => {
    const key = `${garden}/${bed}/${from}/${to}`
    const running = loading.get(key) ?? measurements.temperatures(garden, bed, from, to)
    if (!loading.has(key)) {
      loading.set(key, running)
      const forget = (): boolean => loading.delete(key)
      running.then(forget, forget)
    }
    return withPatience(running, PATIENCE_MS)
  }

  const measured = async (garden: Garden): Promise<PossibleBasis> => {
    const basis = 'garden days'
    const today = localDate(now(), garden.timeZone)
    const to = addDays(today, -1)
    let longest: { bed: string; from: string } | null = null
    for (const { bed, fromMs } of await repository.listPlacements(garden.id)) {
      const from = localDate(fromMs, garden.timeZone)
      if (longest === null || from < longest.from) longest = { bed, from }
    }
    const days = longest === null ? 0 : daysBetween(longest.from, today)
    if (longest === null || days < DAYS_A_YEAR) {
      return {
        basis,
        climate: null,
        words:
          longest === null
            ? 'No node has measured here yet: a plan of the garden’s own needs a year.'
            : `The garden has been measured for ${Math.max(0, days)} days: a plan of its own needs a year.`,
      }
    }
    const from = addDays(today, -Math.min(days, MOST_YEARS * DAYS_A_YEAR))
    const records = await recordsOf(garden.id, longest.bed, from, to)
    if (records === null) {
      return {
        basis,
        climate: null,
        words: 'The garden’s past years are being added up: look again in a minute.',
      }
    }
    const known = measuredDays(records)
    // a node that came later than its placement says leaves an empty start
    const firstKnown = known.findIndex(({ minC }) => minC !== null)
    const { climate, reason } = climateFromDays(firstKnown < 0 ? [] : known.slice(firstKnown), basis)
    if (climate !== null) return { basis, climate, words: climate.words }
    const name = (await repository.getBed(garden.id, longest.bed))?.name ?? longest.bed
    const words =
      reason === 'less than a year'
        ? `The readings of ${name} do not yet make a whole year.`
        : `The readings of ${name} have holes of more than ten days in every year.`
    return { basis, climate, words }
  }

  const typedIn = async (garden: Garden): Promise<PossibleBasis> => {
    const normals = await repository.getTemperatureNormals(garden.id)
    const climate = normals && climateFromNormals(normals, null, normals.source)
    const words = climate?.words ?? 'No monthly means of the region have been typed in.'
    return { basis: 'normals', climate, words }
  }

  const chosenYear = async (garden: Garden): Promise<PossibleBasis> => {
    const basis = 'chosen year'
    const weather = await repository.getPlanWeather(garden.id)
    if (weather === null) return { basis, climate: null, words: 'No year’s file has been given.' }
    const { climate } = climateFromDays(weather.days, basis)
    if (climate === null)
      return { basis, climate, words: `The file ${weather.name} does not hold a whole year.` }
    return { basis, climate, words: `${climate.words} The file is ${weather.name}.` }
  }

  return { of: (garden) => Promise.all([measured(garden), typedIn(garden), chosenYear(garden)]) }
}
