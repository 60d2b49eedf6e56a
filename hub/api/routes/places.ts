/** Where a garden may lie: cities by name, and what lies near a position, from a list inside the hub. */
import { z } from 'zod'
import { Places } from '../../../shared/api/places.js'
import type { Api } from '../deps.js'
import { type PlaceList, readPlaceList } from '../place-list.js'
import { invalidInput } from '../problems.js'
import { COMMON_PROBLEMS } from '../replies.js'

const MOST_CHARACTERS = 60

/** '55.68,12.57' */
const position = z
  .string({ error: 'give it once, as text' })
  .transform((text, context) => {
    const [latitudeDeg = Number.NaN, longitudeDeg = Number.NaN, ...rest] = text
      .split(',')
      .map((part) => (/^-?\d{1,3}(\.\d{1,9})?$/.test(part) ? Number(part) : Number.NaN))
    if (rest.length === 0 && Math.abs(latitudeDeg) <= 90 && Math.abs(longitudeDeg) <= 180)
      return { latitudeDeg, longitudeDeg }
    context.addIssue({ code: 'custom', message: 'use latitude and longitude in degrees, e.g. 55.68,12.57' })
    return z.NEVER
  })
  .meta({ type: 'string' })

const PlacesQuery = z.strictObject({
  q: z
    .string({ error: 'give it once, as text' })
    .min(1, 'write the beginning of a name')
    .max(MOST_CHARACTERS, `at most ${MOST_CHARACTERS} characters`)
    .optional(),
  near: position.optional(),
})

export function placeRoutes(app: Api): void {
  let list: Promise<PlaceList> | null = null
  const placeList = (): Promise<PlaceList> => {
    list ??= readPlaceList()
    return list
  }

  app.get(
    '/places',
    {
      schema: {
        tags: ['gardens'],
        summary: 'Cities by the beginning of their name, or those near a position, with their time zones',
        description:
          'From a list of some 7,300 cities inside the hub; nobody outside is asked. `q`: the beginning of a name, ' +
          'with or without its accents; further words may be of the province or the country. `near`: latitude and ' +
          'longitude, degrees; answered with the three nearest and with the time zone there, which near a border ' +
          'can be the neighbour’s.',
        querystring: PlacesQuery,
        response: { 200: Places, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { q, near } = request.query
      if ((q === undefined) === (near === undefined)) {
        throw invalidInput([{ field: 'q', message: 'give either q, the beginning of a name, or near' }])
      }
      const known = await placeList()
      if (near === undefined) return { places: known.byName(q ?? ''), timeZone: null }
      const { latitudeDeg, longitudeDeg } = near
      return {
        places: known.near(latitudeDeg, longitudeDeg),
        timeZone: known.timeZoneAt(latitudeDeg, longitudeDeg),
      }
    },
  )
}
