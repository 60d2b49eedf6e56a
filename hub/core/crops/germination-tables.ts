/**
 * Days from sowing to emergence by soil temperature, seed 13 mm deep: Harrington & Minges 1954, Vegetable seed germination,
 * Univ. California Agric. Ext. mimeo leaflet, as printed in Knott's Handbook for Vegetable Growers. Tested at 32, 41, 50 …
 * 104 °F, that is 0, 5, 10 … 40 °C.
 */
import type { GerminationPoint } from './crop.js'

export const HARRINGTON_MINGES =
  'Harrington & Minges 1954, in Knott’s Handbook for Vegetable Growers, 4th ed. 1997'

/** null: nothing came up; undefined: not tested */
type Row = readonly (number | null | undefined)[]

const TESTED_C = [0, 5, 10, 15, 20, 25, 30, 35, 40]

const points = (row: Row): readonly GerminationPoint[] =>
  TESTED_C.flatMap((soilTempC, i) => {
    const daysToEmergence = row[i]
    return daysToEmergence === undefined ? [] : [{ soilTempC, daysToEmergence }]
  })

const _ = undefined
const none = null

export const CABBAGE_EMERGENCE = points([_, _, 15, 9, 6, 5, 4, _, _])
export const CAULIFLOWER_EMERGENCE = points([_, _, 20, 10, 6, 5, 5, _, _])
export const LETTUCE_EMERGENCE = points([49, 15, 7, 4, 3, 2, 3, none, none])
export const SPINACH_EMERGENCE = points([63, 23, 12, 7, 6, 5, 6, none, none])
export const PEA_EMERGENCE = points([_, 36, 14, 9, 8, 6, 6, _, _])
export const RADISH_EMERGENCE = points([none, 29, 11, 6, 4, 4, 3, _, _])
export const CELERY_EMERGENCE = points([none, 41, 16, 12, 7, none, none, none, _])
