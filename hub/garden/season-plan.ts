/**
 * A garden's plans (season-plan-port.ts). Weeks are weighed one by one and let others work in between: a year of them takes a
 * small computer a second. They are kept under all that they follow from, so that nothing stale is ever found.
 */
import { createHash } from 'node:crypto'
import { setImmediate } from 'node:timers/promises'
import type { Garden } from '../../shared/api/garden.js'
import type { PlanWeather } from '../../shared/api/plan.js'
import { addDays, localDate } from '../../shared/local-time.js'
import type { KnownCrop } from '../core/crops/garden-crops.js'
import { rankBeds } from '../core/plan/bed-ranking.js'
import type { Climate } from '../core/plan/climate.js'
import { sowingSoil } from '../core/plan/soil-for-sowing.js'
import type { SowingWay } from '../core/plan/sowing-run.js'
import type { SowingWeek } from '../core/plan/sowing-week.js'
import { weekPlanner, yearPlan } from '../core/plan/year-plan.js'
import { slotOf } from '../core/plan/year-slots.js'
import { bedOffers } from './bed-offers.js'
import type { BedMeasurements } from './measured.js'
import { createPlanClimates } from './plan-climates.js'
import { yearFromFile } from './plan-weather-file.js'
import type { GardenRepository, StoredPlanWeather } from './port.js'
import type { PossibleBasis, SeasonPlans } from './season-plan-port.js'
import type { BedSkies } from './skies.js'

const WAYS: readonly SowingWay[] = ['under cover', 'direct']
const WEEKS_A_YEAR = 52
/** Crops that growers look at in turn; each keeps about a hundred kilobytes. */
const MOST_KEPT = 16

export function createSeasonPlans(deps: {
  readonly garden: GardenRepository
  readonly measurements: Pick<BedMeasurements, 'temperatures'>
  readonly skies: Pick<BedSkies, 'outlook'>
  readonly now: () => number
}): SeasonPlans {
  const { garden: repository, now } = deps
  const climates = createPlanClimates(deps)
  const kept = new Map<string, Promise<readonly (readonly SowingWeek[])[]>>()
  const todayIn = (garden: Garden): string => localDate(now(), garden.timeZone)

  const weeksOf = (
    garden: Garden,
    { crop }: KnownCrop,
    climate: Climate,
    from: string,
  ): Promise<readonly (readonly SowingWeek[])[]> => {
    const key = fingerprint([garden.latitudeDeg, from, crop], climate)
    const known = kept.get(key)
    if (known) {
      // the one used last goes last
      kept.delete(key)
      kept.set(key, known)
      return known
    }
    const weighing = weighed(crop, climate, garden.latitudeDeg, from)
    kept.set(key, weighing)
    // a failure is told to who asked, and not kept for the next
    weighing.catch(() => kept.delete(key))
    for (const oldest of kept.keys()) if (kept.size > MOST_KEPT) kept.delete(oldest)
    return weighing
  }

  const basisFor = async (garden: Garden, asked: PossibleBasis['basis'] | null) => {
    const bases = await climates.of(garden)
    const isMeant = (one: PossibleBasis): boolean => asked === null || one.basis === asked
    return { bases, basis: bases.find((one) => one.climate !== null && isMeant(one)) ?? null }
  }

  return {
    async plan(garden, known, asked, askedFrom) {
      const from = askedFrom ?? mondayOf(todayIn(garden))
      const { bases, basis } = await basisFor(garden, asked)
      const climate = basis?.climate ?? null
      if (climate === null) return { basis: null, bases, from, year: null, usualMeanC: [], soil: null }
      const byWay = await weeksOf(garden, known, climate, from)
      return {
        basis,
        bases,
        from,
        year: yearPlan(known.crop, climate, byWay),
        usualMeanC: Array.from(
          { length: WEEKS_A_YEAR },
          (_, week) => climate.usualMeanC[slotOf(addDays(from, 7 * week))] ?? Number.NaN,
        ),
        soil: sowingSoil(known.crop, climate, Number(from.slice(0, 4))),
      }
    },

    async beds(garden, known, asked, way, sowOn) {
      const { basis } = await basisFor(garden, asked)
      const climate = basis?.climate ?? null
      if (climate === null) return null
      const week = weekPlanner(known.crop, climate, garden.latitudeDeg)(way, sowOn)
      const today = todayIn(garden)
      const plantingOn = week.plantOutOn ?? week.sowOn
      // a crop that never heads there is still planted somewhere: its first two months count
      const heading = {
        from: week.headingFrom ?? plantingOn,
        to: week.readyFrom ?? addDays(week.headingFrom ?? plantingOn, 60),
      }
      const offers = await bedOffers(deps, garden, { plantingOn, heading, today })
      const offerOf = new Map(offers.map((offer) => [offer.bed, offer]))
      return {
        week,
        beds: rankBeds(known.crop, week.headingMeanC, plantingOn, offers).map((ranked) => {
          const offer = offerOf.get(ranked.bed)
          return {
            ...ranked,
            expectedSunHours: offer?.expectedSunHours ?? null,
            possibleSunHours: offer?.possibleSunHours ?? null,
            warmerByC: offer?.warmerByC ?? null,
          }
        }),
      }
    },

    async weather(garden) {
      const weather = await repository.getPlanWeather(garden)
      return weather && weatherFigures(weather)
    },

    async putWeather(garden, name, csv) {
      const weather = { name, days: await yearFromFile(csv, garden.timeZone) }
      await repository.putPlanWeather(garden.id, weather)
      return weatherFigures(weather)
    },
  }
}

async function weighed(
  crop: KnownCrop['crop'],
  climate: Climate,
  latitudeDeg: number,
  from: string,
): Promise<readonly (readonly SowingWeek[])[]> {
  const weigh = weekPlanner(crop, climate, latitudeDeg)
  const byWay: SowingWeek[][] = []
  for (const way of WAYS) {
    const weeks: SowingWeek[] = []
    for (let week = 0; week < WEEKS_A_YEAR; week++) {
      await setImmediate()
      weeks.push(weigh(way, addDays(from, 7 * week)))
    }
    byWay.push(weeks)
  }
  return byWay
}

/** All that the weeks of a crop follow from, in short. */
function fingerprint(of: readonly unknown[], { years }: Climate): string {
  const hash = createHash('sha256').update(JSON.stringify(of))
  for (const { minC, maxC, meanC, soilC } of years) {
    for (const { buffer, byteOffset, byteLength } of [minC, maxC, meanC, soilC]) {
      hash.update(new Uint8Array(buffer, byteOffset, byteLength))
    }
  }
  return hash.digest('hex')
}

/** 1970-01-01 was a Thursday. */
function mondayOf(date: string): string {
  const days = Math.round(Date.parse(`${date}T00:00:00Z`) / 86_400_000)
  return addDays(date, -((days + 3) % 7))
}

function weatherFigures({ name, days }: StoredPlanWeather): PlanWeather {
  const known = days.filter(({ minC, maxC }) => minC !== null && maxC !== null)
  return {
    name,
    from: days[0]?.date ?? '',
    to: days.at(-1)?.date ?? '',
    days: known.length,
    hasSoil: days.some(({ soilMeanC }) => soilMeanC !== null),
  }
}
