/** Day records: everything computed for a bed and a local calendar day. */
import { z } from 'zod'
import { DayRecord } from '../../../shared/api/measurements.js'
import { addDays, daysBetween, localDate } from '../../../shared/local-time.js'
import { type DayOptions, DEFAULT_DAY_OPTIONS } from '../../core/days/day-record.js'
import type { Api, ApiDeps } from '../deps.js'
import { InBed, requireBed } from '../known.js'
import { invalidInput } from '../problems.js'
import { decimal, queryDate } from '../query.js'
import { COMMON_PROBLEMS } from '../replies.js'

const MOST_DAYS = 1_100
const USUAL_DAYS = 30

const DaysQuery = z.strictObject({
  from: queryDate.optional(),
  to: queryDate.optional(),
  baseC: decimal(-20, 40).optional(),
  upperC: decimal(-20, 60).optional(),
  heatAboveC: decimal(-20, 60).optional(),
  chillAboveC: decimal(-40, 40).optional(),
  chillBelowC: decimal(-40, 40).optional(),
  method: z.enum(['integral', 'average', 'triangle', 'double-triangle', 'sine', 'double-sine']).optional(),
  cutoff: z.enum(['horizontal', 'intermediate', 'vertical', 'none']).optional(),
})
type DaysQuery = z.infer<typeof DaysQuery>

export function dayRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/beds/:bed/days',
    {
      schema: {
        tags: ['figures'],
        summary: 'Day records, one for every local date from `from` to `to`',
        description:
          'Without `to` until today, without `from` the 30 days up to `to`; at most 1100 days. Degree days ' +
          'count from 4.4 to 26.7 °C with a horizontal cut-off, integrated over the readings; heat hours above ' +
          '27 °C; chill hours from 0 to 10 °C; each can be set here.',
        params: InBed,
        querystring: DaysQuery,
        response: { 200: z.array(DayRecord), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden: gardenId, bed } = request.params
      const { garden } = await requireBed(deps, gardenId, bed)
      const { from, to } = dates(request.query, localDate(deps.now(), garden.timeZone))
      return deps.measurements.days(gardenId, bed, from, to, options(request.query))
    },
  )
}

function dates(query: DaysQuery, today: string): { from: string; to: string } {
  const to = query.to ?? (query.from !== undefined && query.from > today ? query.from : today)
  const from = query.from ?? addDays(to, 1 - USUAL_DAYS)
  const days = daysBetween(from, to) + 1
  if (days < 1) throw invalidInput([{ field: 'to', message: 'must not be earlier than `from`' }])
  if (days > MOST_DAYS) {
    throw invalidInput([{ field: 'from', message: `ask for at most ${MOST_DAYS} days, not ${days}` }])
  }
  return { from, to }
}

/** Only what was given; undefined when nothing was, so that cached records serve. */
function options(query: DaysQuery): Partial<DayOptions> | undefined {
  const { from: _from, to: _to, ...given } = query
  const set = Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined))
  if (Object.keys(set).length === 0) return undefined
  const { baseC, upperC, cutoff, chillAboveC, chillBelowC }: DayOptions = { ...DEFAULT_DAY_OPTIONS, ...set }
  const problems = [
    ...(cutoff !== 'none' && baseC >= upperC
      ? [{ field: 'upperC', message: `must be above the base temperature, ${baseC} °C` }]
      : []),
    ...(chillAboveC >= chillBelowC
      ? [{ field: 'chillBelowC', message: `must be above the lower limit of chill, ${chillAboveC} °C` }]
      : []),
  ]
  if (problems.length > 0) throw invalidInput(problems)
  return set
}
