/** The crop library on the wire: what is known of each crop, every figure with where it comes from. */
import { z } from 'zod'

/** How far a figure can be trusted; `derived`: worked out from others, a first guess. */
export const FigureSource = z.enum(['published', 'common practice', 'memory', 'derived', 'grower'])

export const CropFigure = z.object({
  /** plain words */
  name: z.string(),
  value: z.number(),
  unit: z.string(),
  source: FigureSource,
  /** the publication, or how it was worked out */
  note: z.string(),
})
export type CropFigure = z.infer<typeof CropFigure>

export const Crop = z.object({
  id: z.string(),
  name: z.string(),
  botanical: z.string(),
  /** what is eaten: head, curd, sprouts, stem, pods, root, stalks or leaves */
  forms: z.string(),
  usualStart: z.enum(['sown', 'planted-out']),
  /** between plants every way */
  spacingM: z.number(),
  /** soil for one plant in a container */
  containerLitres: z.number(),
  feeding: z.string(),
  readiness: z.string(),
  /** what heat does to it; null: not known to harm what is eaten */
  heatHarm: z.string().nullable(),
  figures: z.array(CropFigure),
  /** days from sowing to emergence by soil temperature; null: nothing came up */
  germination: z.array(z.object({ soilTempC: z.number(), daysToEmergence: z.number().nullable() })),
})
export type Crop = z.infer<typeof Crop>
