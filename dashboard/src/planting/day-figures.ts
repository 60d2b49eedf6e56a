/** What a chart of days is told to draw: plain figures, made without the page. */
import type { PaletteName } from '../bed/palette-names.js'

/** A tinted area: between two levels over all dates, or between two instants from top to bottom. */
export type Wash =
  | {
      readonly kind: 'levels'
      readonly from: number
      readonly to: number
      readonly ink: PaletteName
      readonly alpha: string
    }
  | {
      readonly kind: 'days'
      readonly fromS: number
      readonly toS: number
      readonly ink: PaletteName
      readonly alpha: string
    }

/** A level across the chart with its words. */
export interface Rule {
  readonly value: number
  /** '': none */
  readonly words: string
  readonly ink: PaletteName
  readonly isDashed: boolean
}

/** A thick piece of a level: from when to when something is to be expected. */
export interface Stretch {
  readonly value: number
  readonly fromS: number
  readonly toS: number
  readonly ink: PaletteName
}

export interface DayLine {
  readonly ink: PaletteName
  readonly dash: readonly number[]
  /** px; 0: an edge of a band, not drawn */
  readonly width: number
  /** one a date, in the unit shown */
  readonly values: readonly (number | null)[]
}

/** A filled band between two lines, by their places in `lines`. */
export interface DayBand {
  readonly upper: number
  readonly lower: number
  readonly ink: PaletteName
  /** two hex digits */
  readonly alpha: string
}

export interface DayFigures {
  /** local dates without holes */
  readonly dates: readonly string[]
  readonly lines: readonly DayLine[]
  readonly bands: readonly DayBand[]
  readonly washes: readonly Wash[]
  readonly rules: readonly Rule[]
  /** over part of the dates, e.g. an interval on a rule */
  readonly stretches: readonly Stretch[]
  /** local date marked as today; null: not in view */
  readonly today: string | null
  readonly range: readonly [number, number]
}

/** Noon of a date as the chart counts, epoch s: figures of a day stand in its middle. */
export const noonS = (date: string): number => Date.parse(`${date}T12:00:00Z`) / 1000
