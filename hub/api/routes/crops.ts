/** The crop library: the same for every garden. */
import { z } from 'zod'
import { Crop } from '../../../shared/api/crops.js'
import { CROPS } from '../../core/crops/library.js'
import { cropOnWire } from '../crop-on-wire.js'
import type { Api } from '../deps.js'

const crops = [...CROPS.values()].map(cropOnWire)

export function cropRoutes(app: Api): void {
  app.get(
    '/crops',
    {
      schema: {
        tags: ['plantings'],
        summary: 'The crops that are known, every figure with its source',
        response: { 200: z.array(Crop) },
      },
    },
    () => crops,
  )
}
