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

/** A number of a crop that a grower can put their own in place of. */
export const AdjustableFigure = z.object({
  field: z.string(),
  /** plain words with the unit */
  label: z.string(),
  min: z.number(),
  max: z.number(),
  libraryValue: z.number(),
  /** the grower's own; null: the library's holds */
  ownValue: z.number().nullable(),
})
export type AdjustableFigure = z.infer<typeof AdjustableFigure>

/** A crop as one garden knows it. GET /gardens/{garden}/crops. */
export const GardenCrop = z.object({
  ...Crop.shape,
  /** library: as it is; adjusted: some numbers are the grower's; own: added by the grower */
  by: z.enum(['library', 'adjusted', 'own']),
  /** the crop of the library that it is, or was made from */
  basedOn: z.string(),
  adjustable: z.array(AdjustableFigure),
})
export type GardenCrop = z.infer<typeof GardenCrop>

/**
 * PUT /gardens/{garden}/crops/{id}: adjusts a crop of the library (its id), or adds one (any other id, with `basedOn` and
 * `name`). What is left out of `adjustments` is the library's again; DELETE takes all back.
 */
export const GardenCropInput = z.strictObject({
  basedOn: z.string().min(1).max(63).nullable().default(null),
  name: z.string().trim().min(1, 'give it a name').max(80, 'at most 80 characters').nullable().default(null),
  adjustments: z.record(z.string(), z.number()).default({}),
})
export type GardenCropInput = z.infer<typeof GardenCropInput>
