/** What sun a bed can have and may expect on any date, the sun's way over it, a season's sun, and beds side by side. */
import { z } from 'zod'
import { SunCarpet, SunComparison, SunOutlook, SunPath, TemperatureCarpet } from '../../../shared/api/sun.js'
import { addDays, daysBetween, localDate, localDays } from '../../../shared/local-time.js'
import { SUN_STATES } from '../../core/sun/sun-states.js'
import type { Api, ApiDeps } from '../deps.js'
import { InBed, InGarden, requireBed, requireGarden } from '../known.js'
import { invalidInput } from '../problems.js'
import { queryDate } from '../query.js'
import { COMMON_PROBLEMS } from '../replies.js'
import { outlookOnWire, sunPathOnWire } from '../sun-figures.js'
import { hoursByDay } from '../temperature-hours.js'

const MOST_DAYS = 400
const HOUR_MS = 3_600_000

const DatesQuery = z.strictObject({ from: queryDate.optional(), to: queryDate.optional() })
const TemperatureQuery = z.strictObject({
  ...DatesQuery.shape,
  quantity: z.enum(['air-temp', 'soil-temp'], 'choose air-temp or soil-temp').default('air-temp'),
})
const DateQuery = z.strictObject({ date: queryDate.optional() })

export function sunOutlookRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/beds/:bed/sun-outlook',
    {
      schema: {
        tags: ['sun'],
        summary: 'Possible and expected sun hours of any dates, past or future',
        description:
          'From the skyline as it is known today and the sun’s path. Without dates the year from today on; at ' +
          'most 400 days. `possibleLow` and `possibleHigh` hold the skyline at its highest and lowest. Expected ' +
          'hours are the possible ones times the clear part of the month: measured in this garden, from the ' +
          'normals entered, or from other months. Labels by season: full sun from 6 h, part sun from 4 h, part ' +
          'shade from 2 h.',
        params: InBed,
        querystring: DatesQuery,
        response: { 200: SunOutlook, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden: gardenId, bed } = request.params
      const { garden } = await requireBed(deps, gardenId, bed)
      const today = localDate(deps.now(), garden.timeZone)
      const { from, to } = dates(request.query, (from) => addDays(from, 364), today)
      return outlookOnWire(bed, await deps.skies.outlook(gardenId, bed, from, to))
    },
  )

  app.get(
    '/gardens/:garden/beds/:bed/sun-path',
    {
      schema: {
        tags: ['sun'],
        summary: 'The sun’s path over a bed on one date, every ten minutes (today when no date is given)',
        params: InBed,
        querystring: DateQuery,
        response: { 200: SunPath, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden: gardenId, bed } = request.params
      const { garden } = await requireBed(deps, gardenId, bed)
      return sunPathOnWire(await deps.skies.path(gardenId, bed, request.query.date), garden.timeZone)
    },
  )

  app.get(
    '/gardens/:garden/beds/:bed/sun-carpet',
    {
      schema: {
        tags: ['sun'],
        summary: 'The sun of a season: the states of each day, in minutes since local midnight',
        description:
          'Without `to` until today, without `from` the 120 days up to `to`; at most 400 days. A segment begins ' +
          'at its `startMin` and ends where the next begins, the last at `endMin`.',
        params: InBed,
        querystring: DatesQuery,
        response: { 200: SunCarpet, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden: gardenId, bed } = request.params
      const { garden } = await requireBed(deps, gardenId, bed)
      const { from, to } = pastDates(request.query, 120, localDate(deps.now(), garden.timeZone))
      return { bed, states: [...SUN_STATES], days: await deps.measurements.carpet(gardenId, bed, from, to) }
    },
  )

  app.get(
    '/gardens/:garden/beds/:bed/temperature-carpet',
    {
      schema: {
        tags: ['figures'],
        summary: 'The warmth of a season: the mean temperature of each hour of each day',
        description:
          'Without `to` until today, without `from` the 120 days up to `to`; at most 400 days. Hours are counted from ' +
          'local midnight.',
        params: InBed,
        querystring: TemperatureQuery,
        response: { 200: TemperatureCarpet, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden: gardenId, bed } = request.params
      const { timeZone } = (await requireBed(deps, gardenId, bed)).garden
      const { quantity, ...asked } = request.query
      const { from, to } = pastDates(asked, 120, localDate(deps.now(), timeZone))
      const days = localDays(from, to, timeZone)
      const steps = await deps.measurements.readSteps(
        gardenId,
        bed,
        quantity,
        days[0]!.startMs,
        days.at(-1)!.endMs,
        HOUR_MS,
      )
      return { bed, quantity, days: hoursByDay(days, steps) }
    },
  )

  app.get(
    '/gardens/:garden/sun-comparison',
    {
      schema: {
        tags: ['sun'],
        summary: 'The sun of all beds side by side, over the same days',
        description: 'Without `to` until today, without `from` the 30 days up to `to`; at most 400 days.',
        params: InGarden,
        querystring: DatesQuery,
        response: { 200: SunComparison, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { timeZone, id } = await requireGarden(deps, request.params.garden)
      const { from, to } = pastDates(request.query, 30, localDate(deps.now(), timeZone))
      return { from, to, beds: (await deps.skies.compare(id, from, to)).map((bed) => ({ ...bed })) }
    },
  )
}

type Dates = z.infer<typeof DatesQuery>

function dates(query: Dates, usualEnd: (from: string) => string, usualStart: string) {
  const from = query.from ?? (query.to !== undefined && query.to < usualStart ? query.to : usualStart)
  return checked(from, query.to ?? usualEnd(from))
}

function pastDates(query: Dates, usualDays: number, today: string) {
  const to = query.to ?? (query.from !== undefined && query.from > today ? query.from : today)
  return checked(query.from ?? addDays(to, 1 - usualDays), to)
}

/** @throws ApiProblem INVALID_INPUT */
function checked(from: string, to: string): { from: string; to: string } {
  const days = daysBetween(from, to) + 1
  if (days < 1) throw invalidInput([{ field: 'to', message: 'must not be earlier than `from`' }])
  if (days > MOST_DAYS) {
    throw invalidInput([{ field: 'from', message: `ask for at most ${MOST_DAYS} days, not ${days}` }])
  }
  return { from, to }
}
