/** What a chart draws as one line: whose readings, in which ink, and how they are worded. */
import type { Series } from '../../../shared/api/measurements.js'
import type { PaletteName } from './palette-names.js'

export interface ChartLine {
  readonly quantity: string
  /** written on the line itself, e.g. 'air' */
  readonly label: string
  readonly ink: PaletteName
  /** told apart by stroke as well as by ink */
  readonly dash: readonly number[]
  readonly series: Series | null
}
