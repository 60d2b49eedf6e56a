/**
 * What the hub knows of a crop. Data, not code: each number says where it comes from, so that a page can show what is
 * published and what is a first guess, and so that a grower's own value can take its place.
 */

/** How far a number can be trusted. */
export type Source =
  /** printed in the source that `note` names */
  | 'published'
  /** what growers and advisers use, without a source to check it against */
  | 'common practice'
  /** recalled from literature or catalogues, not yet checked against the page */
  | 'memory'
  /** worked out from other numbers by the rule in `note`; a first guess */
  | 'derived'
  /** the grower's own */
  | 'grower'

export interface Sourced<T = number> {
  readonly value: T
  readonly source: Source
  /** the publication, or how it was worked out */
  readonly note: string
}

export const published = <T>(value: T, note: string): Sourced<T> => ({ value, source: 'published', note })
export const fromPractice = <T>(value: T, note: string): Sourced<T> => ({
  value,
  source: 'common practice',
  note,
})
export const fromMemory = <T>(value: T, note: string): Sourced<T> => ({ value, source: 'memory', note })
export const derived = <T>(value: T, note: string): Sourced<T> => ({ value, source: 'derived', note })

/** Days from sowing to emergence at one soil temperature; null: tested, and nothing came up. */
export interface GerminationPoint {
  readonly soilTempC: number
  readonly daysToEmergence: number | null
}

export interface Germination {
  /** ascending in temperature; temperatures that were never tested are not in it; empty: no table is known */
  readonly points: readonly GerminationPoint[]
  readonly source: Source
  readonly note: string
  /** soil outside these is too cold or too hot to sow into, °C */
  readonly minSoilC: Sourced
  readonly maxSoilC: Sourced
}

/** Warmth from one stage to the next, °C·d between the crop's base and upper temperature (horizontal cut-off). */
export interface StageDegreeDays {
  /** sowing to emergence */
  readonly toEmerged: Sourced
  /** what a plant raised elsewhere has behind it when it is planted out, from sowing; 0 where sown in place */
  readonly toPlantingOut: Sourced
  /**
   * from usualStart until what is eaten begins to form: head, curd, sprouts, stem, pods, root; null: only leaves
   * are eaten
   */
  readonly toHeading: Sourced | null
  /** from usualStart until it is ready to cut */
  readonly toReady: Sourced
  /** from usualStart until it is past its best: split, bolted, tough */
  readonly toFinished: Sourced
}

/** How a crop is usually started, and from what its packet days and degree days count. */
export type Start = 'sown' | 'planted-out'

/** What spoils the part that is eaten when it is hot. */
export interface HeatLimit {
  /** hours above this are heat hours, °C */
  readonly aboveC: Sourced
  /** heat hours while it forms: worth a look … */
  readonly watchHours: Sourced
  /** … and harm likely */
  readonly likelyHours: Sourced
  /** nights warmer than this make it worse, °C; null: not known to */
  readonly nightAboveC: Sourced | null
  /** in words: "loose, puffy heads and tip burn" */
  readonly harm: string
}

/** Flowering set off by cold: how cold, for how long, and from what size a plant feels it. */
export interface ColdBolting {
  /** 'seed': felt from the moist seed on; 'plant': only once past the juvenile size */
  readonly feltBy: 'seed' | 'plant'
  /** true leaves from which a plant feels cold; null where the seed feels it */
  readonly juvenileLeaves: Sourced | null
  /** daily mean: no effect up to noneBelowC, full from fullFromC to fullToC, none from noneAboveC; straight between */
  readonly noneBelowC: Sourced
  readonly fullFromC: Sourced
  readonly fullToC: Sourced
  readonly noneAboveC: Sourced
  /** a day with a maximum above this undoes a day of fresh chill; null: no undoing is known */
  readonly undoneAboveC: Sourced | null
  /** days of full effect: worth a look … */
  readonly watchDays: Sourced
  /** … and flowering likely */
  readonly likelyDays: Sourced
}

/** Flowering set off by warmth in long days. */
export interface HeatBolting {
  /** days with a maximum above this count, °C */
  readonly maxAboveC: Sourced
  /** if they are longer than this, h; null: at any day length */
  readonly dayLongerThanHours: Sourced | null
  /** counting days: worth a look … */
  readonly watchDays: Sourced
  /** … and flowering likely */
  readonly likelyDays: Sourced
}

export interface Frost {
  /** leaves are marked below this air temperature at the bed, °C */
  readonly damageC: Sourced
  /** a hardened plant is lost below this, °C */
  readonly killC: Sourced
  /** a young or unhardened plant is lost below this, °C */
  readonly youngC: Sourced
}

export interface Spacing {
  /** between plants every way, m */
  readonly betweenPlantsM: Sourced
  /** soil for one plant in a container, L */
  readonly containerLitres: Sourced
}

export interface Crop {
  /** id on the wire */
  readonly id: string
  readonly name: string
  readonly botanical: string
  /** what forms; gives the stage `heading` its plain name */
  readonly forms: 'head' | 'curd' | 'sprouts' | 'stem' | 'pods' | 'root' | 'stalks' | 'leaves'
  readonly usualStart: Start
  /** degree days count above this, °C … */
  readonly baseC: Sourced
  /** … and no faster than at this, °C */
  readonly upperC: Sourced
  /** mean temperature for best growth and quality, from … to, °C */
  readonly bestMeanC: { readonly from: Sourced; readonly to: Sourced }
  readonly minMeanC: Sourced
  readonly maxMeanC: Sourced
  /** days from usualStart to ready in cool weather, as seed packets count them */
  readonly packetDays: Sourced
  readonly degreeDays: StageDegreeDays
  readonly germination: Germination
  readonly heat: HeatLimit | null
  readonly coldBolting: ColdBolting | null
  readonly heatBolting: HeatBolting | null
  readonly frost: Frost
  readonly spacing: Spacing
  readonly feeding: Sourced<string>
  readonly readiness: Sourced<string>
}
