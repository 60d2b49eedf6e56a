/**
 * What a warning rule sees and says. A rule is a pure function; it decides nothing about storing or telling
 * (warning-keeper.ts). hub/warnings may import core, shared and port files.
 *
 * To add a rule: a file in rules/, and its name in warning-keeper.ts. To give rules something new to look at (a
 * forecast, for one): a field in the context, filled in garden-view.ts.
 */
import type { z } from 'zod'
import type { Bed, Garden, Node, Planting } from '../../shared/api/garden.js'
import type { DayRecord, PlantingProgress } from '../../shared/api/measurements.js'
import type { Certainty, Severity, Urgency, WarningKind } from '../../shared/api/warnings.js'
import type { Crop } from '../core/crops/crop.js'
import type { ReadingColumns } from '../core/readings.js'
import type { LearnedSun } from '../core/sun/learned-sun.js'
import type { LostSpan, SunBudget } from '../core/sun/lost-sun.js'
import type { BedAhead } from '../forecast/port.js'
import type { Doses } from '../garden/planting-season.js'

export interface RuleContext {
  readonly garden: Garden
  readonly nowMs: number
  /** the garden's calendar date at nowMs */
  readonly date: string
  readonly beds: readonly BedView[]
  readonly nodes: readonly NodeView[]
  /**
   * Is a warning of this cause open? An open one is held by softer limits, so that it does not flap.
   *
   * @param as  only one that has been measured: what was merely expected must not be held as if it had come
   */
  isOpen(cause: string, as?: 'Observed'): boolean
}

export interface BedView {
  readonly bed: Bed
  /** those that stand in it today */
  readonly plantings: readonly PlantingView[]
  /** the last fortnight, today last; looked up only where a planting forms its head, else empty */
  readonly days: readonly DayRecord[]
  /** the last 24 hours */
  readonly airTemp: ReadingColumns
  /** the night that nowMs falls in, or the next one */
  readonly night: Night
  readonly sunHistory: SunHistory
  /** what is to come; null: not looked up (nothing stands here), or it could not be told */
  readonly ahead: BedAhead | null
  /** sown in place lately or within the next days, and not up yet */
  readonly sowings: readonly SowingView[]
}

export interface SowingView {
  readonly planting: Planting
  readonly crop: Crop
  /** what a grower calls it */
  readonly name: string
  readonly sownOn: string
  /** mean of the last days, °C */
  readonly soilMeanC: number
}

export interface Night {
  /** null where the sun does not set or rise around here now */
  readonly sunsetMs: number | null
  readonly sunriseMs: number | null
}

/** The bed's sun over the last three weeks, complete days only. */
export interface SunHistory {
  /** days with a cloudless sky (clear-day.ts), newest first */
  readonly clearDays: readonly ClearDay[]
  /** hours of the day at which the bed had sun on any of the days; null: no light readings at all */
  readonly reachableHours: number | null
  readonly days: number
  /** means over the days: sun, cloud, shade; null: no light readings */
  readonly budget: SunBudget | null
  /** what the bed can see of the sun today; null: its skyline is not known yet */
  readonly sky: BedSkyToday | null
}

/** From the bed's skyline, for the date of the context. */
export interface BedSkyToday {
  /** under a clear sky, with the skyline at its most likely, at its highest, at its lowest */
  readonly possibleHours: number
  readonly possibleLow: number
  readonly possibleHigh: number
  /** on open ground */
  readonly openHours: number
  /** when the sun stands high enough to shine on open ground, first and last; null: not at all */
  readonly openFromMs: number | null
  readonly openToMs: number | null
  /** when the sun stands behind the skyline */
  readonly lost: readonly LostSpan[]
  /** days of light that the skyline was learned from; 0: it is drawn only */
  readonly learnedDays: number
}

export interface ClearDay {
  readonly date: string
  readonly sunHours: number
  /** on open ground */
  readonly openHours: number
  readonly coverage: number
  /** how it was told that the sky was clear */
  readonly toldBy: 'this bed' | 'another bed'
}

export interface PlantingView {
  readonly planting: Planting
  readonly progress: PlantingProgress
  /** null: a crop that the library does not know any more */
  readonly crop: Crop | null
  /** what a grower calls it: "early cabbage ‘Pointed’" */
  readonly name: string
  /** the days on which what is eaten formed, so far, with the crop's own thresholds; empty before */
  readonly headingDays: readonly DayRecord[]
  /** degree days until what is eaten begins to form, °C·d; null: it has begun, or only leaves are eaten */
  readonly toHeadingC: number | null
  readonly doses: Doses
  /** today, sunrise to sunset, h */
  readonly dayLengthHours: number
}

export interface NodeView {
  readonly node: Node
  /** where it stands now */
  readonly bed: Bed
  readonly placedSinceMs: number
  /** newest reading of any quantity since it stands there, by the node's clock; null: none */
  readonly lastMs: number | null
  /** when a reading last came in */
  readonly lastReceivedMs: number | null
  /** since when the hub has been listening: before, a node cannot have been silent */
  readonly listeningSinceMs: number
  /** usual time between its readings, or between its packs where it gathers; null: too few to tell */
  readonly spacingMs: number | null
  /** the last day of each quantity, flags from context merged in */
  readonly recent: ReadonlyMap<string, ReadingColumns>
  /** what was learned of its light sensor where it stands; null: nothing yet */
  readonly light: LearnedSun | null
  /** packs with a wrong clock, as they came in since the hub started */
  readonly wrongClock: WrongClock | null
}

export interface WrongClock {
  readonly count: number
  readonly lastReceivedAtMs: number
  /** what the node's clock said then */
  readonly lastTimeMs: number
}

/** What a rule found. A finding that stays away ends its warning. */
export interface Finding {
  readonly kind: z.infer<typeof WarningKind>
  /** what makes two findings the same warning: kind, bed, planting, node */
  readonly cause: string
  readonly bed: string | null
  readonly node: string | null
  readonly planting: string | null
  readonly severity: z.infer<typeof Severity>
  readonly urgency: z.infer<typeof Urgency>
  readonly certainty: z.infer<typeof Certainty>
  readonly headline: string
  readonly why: string
  readonly advice: string
  /** when what is warned of begins; left out: it has, or no time can be told */
  readonly onsetMs?: number
  /** until when what is said holds; left out: until it is cleared */
  readonly expiresMs?: number
  /** 0 to 1; left out: it was measured, or no chance can be told */
  readonly chance?: number
}

export interface Rule {
  readonly name: string
  /** a warning is cleared once its finding has stayed away for this long */
  readonly holdMs: number
  find(context: RuleContext): Finding[]
}
