/** Looking back over a season, or several. */
import { z } from 'zod'
import { ReviewAnswer } from '../../../shared/api/review.js'
import { daysBetween, localDate } from '../../../shared/local-time.js'
import type { Api, ApiDeps } from '../deps.js'
import { warningOnWire } from '../figures.js'
import { InGarden, requireGarden, requirePlanting } from '../known.js'
import { invalidInput } from '../problems.js'
import { queryDate } from '../query.js'
import { COMMON_PROBLEMS } from '../replies.js'

/** Six years. */
const MOST_DAYS = 2_200

const ReviewQuery = z.strictObject({
  from: queryDate.optional(),
  to: queryDate.optional(),
  planting: z.string().min(1).max(100).optional(),
})

export function reviewRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/review',
    {
      schema: {
        tags: ['figures'],
        summary: 'What a season gave: beds, plantings with sun, warmth, doses, warnings, journal and harvest',
        description:
          'Without `to` until today, without `from` from the first of January of the year of `to`; at most six ' +
          'years. With `planting` that one alone. The first time years of readings are added up takes a while: ' +
          '`review` is null until then, `done` of `of` says how far it is; ask again.',
        params: InGarden,
        querystring: ReviewQuery,
        response: { 200: ReviewAnswer, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id, timeZone } = await requireGarden(deps, request.params.garden)
      const { planting } = request.query
      if (planting !== undefined) await requirePlanting(deps, id, planting)
      const to = request.query.to ?? localDate(deps.now(), timeZone)
      const from = request.query.from ?? `${to.slice(0, 4)}-01-01`
      const days = daysBetween(from, to) + 1
      if (days < 1) throw invalidInput([{ field: 'to', message: 'must not be earlier than `from`' }])
      if (days > MOST_DAYS) {
        throw invalidInput([{ field: 'from', message: `ask for at most ${MOST_DAYS} days, not ${days}` }])
      }
      const { review, done, of } = await deps.reviews.of(id, from, to, planting ?? null)
      return {
        done,
        of,
        review: review && {
          ...review,
          plantings: review.plantings.map((one) => ({
            ...one,
            warnings: one.warnings.map((warning) => warningOnWire(warning, timeZone)),
          })),
        },
      }
    },
  )
}
