/** Usual temperatures of a garden's region, as the grower types them in. GET, PUT /gardens/{garden}/normals. */
import { z } from 'zod'

const Twelve = z.array(z.number().min(-60).max(60)).length(12, 'give twelve months, January first')

/** Monthly means of the daily minimum and maximum, °C, January first. */
export const TemperatureNormals = z
  .strictObject({
    minC: Twelve,
    maxC: Twelve,
    /** where they are from */
    source: z.string().trim().max(200).nullable().default(null),
  })
  .refine(({ minC, maxC }) => minC.every((min, month) => min <= (maxC[month] ?? min)), {
    message: 'the minimum of a month must not lie above its maximum',
    path: ['minC'],
  })
export type TemperatureNormals = z.infer<typeof TemperatureNormals>
