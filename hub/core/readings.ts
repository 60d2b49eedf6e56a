/** The shape in which readings travel through the core: columns of one series, ascending in time. */
export interface ReadingColumns {
  /** UTC ms, strictly ascending */
  readonly timeMs: Float64Array
  readonly value: Float64Array
  /** quality flags, shared/quality-flags.ts */
  readonly flags: Uint16Array
}

/** Where a garden stands. */
export interface Place {
  /** north positive */
  readonly latitudeDeg: number
  /** east positive */
  readonly longitudeDeg: number
  readonly elevationM: number
}

export const NO_READINGS: ReadingColumns = {
  timeMs: new Float64Array(0),
  value: new Float64Array(0),
  flags: new Uint16Array(0),
}
