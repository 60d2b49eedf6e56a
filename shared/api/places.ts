/** Places by name and by position: from a list that the hub carries with it, so that nobody outside is asked. */
import { z } from 'zod'

export const Place = z.object({
  name: z.string(),
  /** province or state; null: the list names none */
  province: z.string().nullable(),
  country: z.string(),
  latitudeDeg: z.number(),
  longitudeDeg: z.number(),
  timeZone: z.string(),
  population: z.int(),
  /** from the position asked about; null: asked by name */
  distanceKm: z.number().nullable(),
})
export type Place = z.infer<typeof Place>

/** GET /places */
export const Places = z.object({
  places: z.array(Place),
  /** of the position asked about; null: asked by name */
  timeZone: z.string().nullable(),
})
export type Places = z.infer<typeof Places>
