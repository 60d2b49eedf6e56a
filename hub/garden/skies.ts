/** What is known of a bed's sky, and the answers that follow from it. Implemented by sun-learning.ts and bed-skies.ts. */
import type { DrawnSkylineInput, SunOutlook } from '../../shared/api/sun.js'
import type { ClearFraction } from '../core/sun/clear-fraction.js'
import type { DrawnSkyline } from '../core/sun/drawn-skyline.js'
import type { LearnedSun } from '../core/sun/learned-sun.js'
import type { LostSpan } from '../core/sun/lost-sun.js'
import type { PlacedContext } from '../core/sun/placed-day.js'
import type { SunPath } from '../core/sun/position.js'
import type { Skyline } from '../core/sun/skyline.js'
import type { LabelLimits, SeasonLabel, SunLabel } from '../core/sun/sun-label.js'
import type { OutlookDay, Stretch } from '../core/sun/sun-outlook.js'
import type { SunTimes } from '../core/sun/sun-times.js'

/** One placement's stretch of time in a bed, with what was learned there. */
export interface LearnedStretch {
  /** id of the placement; empty: none, the skyline is drawn only */
  readonly placement: string
  readonly node: string
  readonly fromMs: number
  /** may be Infinity */
  readonly toMs: number
  readonly learned: LearnedSun
}

/** What the days of one month in one bed are judged with. */
export interface BedSky {
  /** ascending; empty where no light sensor ever stood and nothing is drawn */
  readonly stretches: readonly LearnedStretch[]
  /** for placedDaySun */
  readonly placed: readonly PlacedContext[]
  /** what of it day records follow from, as text */
  readonly basis: string
}

export interface SkylineFigures {
  readonly date: string
  /** the node whose light it was learned from; null: none yet */
  readonly node: string | null
  readonly learned: LearnedSun | null
  readonly skyline: Skyline
  readonly drawing: DrawnSkylineInput | null
  readonly drawnDeg: DrawnSkyline | null
}

export interface OutlookFigures {
  readonly skyline: SunOutlook['skyline']
  readonly days: readonly OutlookDay[]
  readonly labels: readonly SeasonLabel[]
  readonly labelLimits: LabelLimits
  readonly possibleSixHours: readonly Stretch[]
  readonly possibleEightHours: readonly Stretch[]
  readonly expectedSixHours: readonly Stretch[]
  readonly expectedEightHours: readonly Stretch[]
  readonly fallsBelowSixOn: string | null
  readonly clearFraction: ClearFraction
}

export interface SunPathFigures {
  readonly date: string
  readonly times: SunTimes
  readonly timeMs: Float64Array
  readonly path: SunPath
  readonly possibleSunHours: number
  readonly lost: readonly LostSpan[]
}

export interface ComparedBed {
  readonly bed: string
  readonly name: string
  readonly days: number
  readonly sunHours: number | null
  readonly possibleSunHours: number
  readonly mostSunHours: number | null
  readonly daysWithSixHours: number
  readonly label: SunLabel
}

/** Answers about beds' skies. All throw GardenError UNKNOWN_GARDEN. Implemented by bed-skies.ts. */
export interface BedSkies {
  /** date left out: today */
  skyline(garden: string, bed: string, date?: string): Promise<SkylineFigures>
  /** with the skyline as it is today, whatever the dates */
  outlook(garden: string, bed: string, fromDate: string, toDate: string): Promise<OutlookFigures>
  path(garden: string, bed: string, date?: string): Promise<SunPathFigures>
  /** all beds, by name */
  compare(garden: string, fromDate: string, toDate: string): Promise<ComparedBed[]>
}
