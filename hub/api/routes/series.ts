/** Charts: one quantity of one bed over any range, raw where it is little, in steps where it is much. */
import { z } from 'zod'
import { Series } from '../../../shared/api/measurements.js'
import { Id } from '../../../shared/ids.js'
import type { ReadingColumns } from '../../core/readings.js'
import type { Api, ApiDeps } from '../deps.js'
import { column, timeColumn, unitOf } from '../figures.js'
import { InBed, requireBed } from '../known.js'
import { invalidInput } from '../problems.js'
import { instantMs, wholeNumber } from '../query.js'
import { COMMON_PROBLEMS } from '../replies.js'
import { chooseGrid, type StepGrid } from '../step-ladder.js'

const DAY_MS = 86_400_000
const LONGEST_MS = 50 * 366 * DAY_MS
const USUAL_POINTS = 2_000

const SeriesQuery = z.strictObject({
  quantity: Id,
  from: instantMs.optional(),
  to: instantMs.optional(),
  points: wholeNumber(2, 20_000).optional(),
})

const BedQuantities = z.array(z.object({ quantity: z.string(), unit: z.string() }))

export function seriesRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/beds/:bed/quantities',
    {
      schema: {
        tags: ['figures'],
        summary: 'What was ever measured in a bed',
        params: InBed,
        response: { 200: BedQuantities, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { garden, bed } = request.params
      await requireBed(deps, garden, bed)
      const quantities = await deps.measurements.quantities(garden, bed)
      return quantities.map((quantity) => ({ quantity, unit: unitOf(quantity) }))
    },
  )

  app.get(
    '/gardens/:garden/beds/:bed/series',
    {
      schema: {
        tags: ['figures'],
        summary: 'Readings of one quantity, raw or in steps',
        description:
          'Raw when the range holds no more than `points` readings (2 to 20000, usually 2000); else minimum, ' +
          'mean, maximum and coverage of the good readings in equal steps, no more of them than `points`. ' +
          'Without `to` until now, without `from` the 24 hours before `to`. In an address write + as %2B.',
        params: InBed,
        querystring: SeriesQuery,
        response: { 200: Series, ...COMMON_PROBLEMS },
      },
    },
    async (request): Promise<Series> => {
      const { garden: gardenId, bed } = request.params
      const { garden } = await requireBed(deps, gardenId, bed)
      const { quantity, points = USUAL_POINTS } = request.query
      const { fromMs, toMs } = range(request.query.from, request.query.to, deps.now())
      const count = await deps.measurements.countRange(gardenId, bed, quantity, fromMs, toMs)
      if (count <= points) {
        return rawSeries(quantity, await deps.measurements.readRange(gardenId, bed, quantity, fromMs, toMs))
      }
      return stepSeries(deps, gardenId, bed, quantity, chooseGrid(fromMs, toMs, points, garden.timeZone))
    },
  )
}

function range(
  from: number | undefined,
  to: number | undefined,
  nowMs: number,
): { fromMs: number; toMs: number } {
  const toMs = to ?? (from === undefined ? nowMs : Math.max(nowMs, from + 1))
  const fromMs = from ?? toMs - DAY_MS
  if (fromMs >= toMs) throw invalidInput([{ field: 'to', message: 'must be later than `from`' }])
  if (toMs - fromMs > LONGEST_MS) throw invalidInput([{ field: 'from', message: 'ask for at most 50 years' }])
  return { fromMs, toMs }
}

function rawSeries(quantity: string, readings: ReadingColumns): Series {
  return {
    form: 'raw',
    quantity,
    unit: unitOf(quantity),
    time: timeColumn(readings.timeMs),
    value: Array.from(readings.value),
    flags: Array.from(readings.flags),
    spacingS: typicalSpacingS(readings.timeMs),
  }
}

async function stepSeries(
  deps: ApiDeps,
  garden: string,
  bed: string,
  quantity: string,
  grid: StepGrid,
): Promise<Series> {
  const { firstMs, endMs, stepMs } = grid
  const steps = await deps.measurements.readSteps(garden, bed, quantity, firstMs, endMs, stepMs)
  return {
    form: 'steps',
    quantity,
    unit: unitOf(quantity),
    stepS: stepMs / 1000,
    time: timeColumn(steps.startMs),
    min: column(steps.min),
    mean: column(steps.mean),
    max: column(steps.max),
    coverage: Array.from(steps.coveredMs, (coveredMs) => Math.min(1, coveredMs / stepMs)),
  }
}

/** Median distance between neighbours, s; null for fewer than two readings. */
function typicalSpacingS(timeMs: Float64Array): number | null {
  if (timeMs.length < 2) return null
  const spacings = new Float64Array(timeMs.length - 1)
  for (let i = 0; i < spacings.length; i++) spacings[i] = timeMs[i + 1]! - timeMs[i]!
  spacings.sort()
  return spacings[spacings.length >> 1]! / 1000
}
