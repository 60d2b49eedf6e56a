/**
 * Garden data: what the grower told the hub, and what the hub keeps about it. Always in SQLite (its own file,
 * `garden.sqlite`, in a worker thread); sqlite-garden.ts implements this port. May import core and shared.
 */
import type {
  Bed,
  BedInput,
  Garden,
  GardenInput,
  Node,
  NodeInput,
  Planting,
  PlantingInput,
} from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import type { TemperatureNormals } from '../../shared/api/normals.js'
import type { Observation } from '../../shared/api/progress.js'
import type { CarpetDay, ClearNormals, DrawnSkylineInput } from '../../shared/api/sun.js'
import type { WarningKind } from '../../shared/api/warnings.js'
import type { Adjustments } from '../core/crops/adjusted-crop.js'
import type { ForecastPoint } from '../core/forecast/public-correction.js'
import type { MeasuredDay } from '../core/plan/climate-from-days.js'
import type { LearnedSun } from '../core/sun/learned-sun.js'
import type { DeliveryRepository } from './delivery-port.js'
import type { ExportRepository } from './export-port.js'
import type { JournalRepository } from './journal-port.js'

/** A placement with its times as UTC ms (the API's form has ISO 8601). */
export interface StoredPlacement {
  readonly id: string
  readonly node: string
  readonly bed: string
  readonly fromMs: number
  /** null: still there */
  readonly toMs: number | null
}

/** A warning as kept; texts are those of the last update. */
export interface StoredWarning {
  readonly id: string
  readonly kind: WarningKind
  /** what makes two warnings the same cause: kind, bed, planting, node */
  readonly cause: string
  readonly bed: string | null
  readonly node: string | null
  readonly planting: string | null
  readonly severity: string
  readonly urgency: string
  readonly certainty: string
  readonly headline: string
  readonly why: string
  readonly advice: string
  readonly raisedAtMs: number
  readonly updatedAtMs: number
  readonly clearedAtMs: number | null
  readonly seenAtMs: number | null
  /** when what is warned of begins; null: it has, or no time can be told */
  readonly onsetMs: number | null
  /** until when what is said holds if nothing new is said */
  readonly expiresMs: number | null
  /** 0 to 1; null: measured, or no chance can be told */
  readonly chance: number | null
}

/** A crop of the library with the grower's own numbers (id = basedOn), or one the grower added. */
export interface StoredCrop {
  readonly id: string
  /** a crop of the library */
  readonly basedOn: string
  /** null: that of the crop it is based on */
  readonly name: string | null
  readonly adjustments: Adjustments
}

/** A bed's forecast state as kept; one of another version or basis is made anew. */
export interface StoredBedForecast {
  readonly version: number
  /** what its own days rest on (place, normals, placements), as text */
  readonly basis: string
  /** JSON */
  readonly state: string
}

/** The newest public forecast of one source. */
export interface StoredPublicForecast {
  readonly source: string
  readonly attribution: string | null
  readonly issuedAtMs: number
  readonly fetchedAtMs: number
  /** the service asks not to be asked before; null: it is sent to the hub */
  readonly expiresAtMs: number | null
  /** what the service wants to see again (Last-Modified); null: nothing */
  readonly validator: string | null
  /** ascending in time */
  readonly points: readonly ForecastPoint[]
}

/** A year of days that the grower chose to plan by. */
export interface StoredPlanWeather {
  /** as the file was called */
  readonly name: string
  /** ascending; one whole year */
  readonly days: readonly MeasuredDay[]
}

/** What makes two computed day records comparable. */
export interface DayComputation {
  /** version of the program's computation */
  readonly version: number
  /** the options it ran with, as text; records with different options are kept side by side */
  readonly options: string
  /** what else it rests on (place, nodes), as text; a record on a new basis takes the place of the old one */
  readonly basis: string
}

/** What was learned about the sun of one placement for one month; a cache. */
export interface KeptLearnedSun {
  readonly placement: string
  /** YYYY-MM */
  readonly month: string
  /** version of the way of learning */
  readonly version: number
  /** what else it rests on (place, placements, cut, drawings), as text */
  readonly basis: string
  /** readings from here … */
  readonly fromMs: number
  /** … to here were looked at */
  readonly cutMs: number
  readonly learned: LearnedSun
}

/**
 * Every method is durable when it resolves. `put…` creates or replaces. A missing thing is null, not an error;
 * breaking a rule between things (a placement of an unknown bed, overlapping placements of one node, deleting a
 * bed that still has plantings or placements) throws GardenError.
 */
export interface GardenRepository extends DeliveryRepository, ExportRepository, JournalRepository {
  listGardens(): Promise<Garden[]>
  getGarden(garden: string): Promise<Garden | null>
  putGarden(garden: string, input: GardenInput): Promise<Garden>

  listBeds(garden: string): Promise<Bed[]>
  getBed(garden: string, bed: string): Promise<Bed | null>
  putBed(garden: string, bed: string, input: BedInput): Promise<Bed>
  deleteBed(garden: string, bed: string): Promise<boolean>

  listNodes(garden: string): Promise<Node[]>
  getNode(garden: string, node: string): Promise<Node | null>
  putNode(garden: string, node: string, input: NodeInput): Promise<Node>
  deleteNode(garden: string, node: string): Promise<boolean>

  /** by bed, then start; all of the garden when bed is undefined */
  listPlacements(garden: string, bed?: string): Promise<StoredPlacement[]>
  addPlacement(garden: string, placement: Omit<StoredPlacement, 'id'>): Promise<StoredPlacement>
  changePlacement(garden: string, placement: StoredPlacement): Promise<StoredPlacement | null>
  deletePlacement(garden: string, id: string): Promise<boolean>

  listPlantings(garden: string, bed?: string): Promise<Planting[]>
  getPlanting(garden: string, id: string): Promise<Planting | null>
  addPlanting(garden: string, input: PlantingInput): Promise<Planting>
  changePlanting(garden: string, id: string, input: PlantingInput): Promise<Planting | null>
  /** @throws GardenError  STILL_USED where the journal has entries about it, unless they are to go with it */
  deletePlanting(
    garden: string,
    id: string,
    options: { readonly withJournal: boolean; readonly atMs: number },
  ): Promise<boolean>

  /** Day records already computed, by date; a cache, never the truth. Those of another computation are not given. */
  cachedDays(
    garden: string,
    bed: string,
    fromDate: string,
    toDate: string,
    computation: DayComputation,
  ): Promise<DayRecord[]>
  cacheDays(
    garden: string,
    bed: string,
    computation: DayComputation,
    records: readonly DayRecord[],
  ): Promise<void>
  /** Latest date of which anything is cached in this garden, whatever the computation; null: nothing is. */
  newestCachedDay(garden: string): Promise<string | null>
  /**
   * Forgets cached days of a bed from one date to another, both included; all of the bed without dates.
   * Changing a garden's place or zone, a placement or a bed's existence forgets by itself, in the same transaction.
   */
  forgetDays(garden: string, bed: string, fromDate?: string, toDate?: string): Promise<void>

  /** Days of the season's carpet, kept like day records and forgotten with them. */
  cachedCarpet(
    garden: string,
    bed: string,
    fromDate: string,
    toDate: string,
    computation: DayComputation,
  ): Promise<CarpetDay[]>
  cacheCarpet(
    garden: string,
    bed: string,
    computation: DayComputation,
    days: readonly CarpetDay[],
  ): Promise<void>

  /** what was learned for a month, of all placements */
  learnedSun(garden: string, month: string): Promise<KeptLearnedSun[]>
  keepLearnedSun(garden: string, learned: readonly KeptLearnedSun[]): Promise<void>
  /** Forgets all that was learned from any readings with fromMs <= time < toMs. */
  forgetLearnedSun(garden: string, fromMs: number, toMs: number): Promise<void>
  /** Up to when readings were looked at by anything learned and kept; null: nothing is. */
  newestLearnedCutMs(garden: string): Promise<number | null>

  /** hand-drawn skylines of all beds that have one */
  drawnSkylines(garden: string): Promise<{ bed: string; drawing: DrawnSkylineInput }[]>
  putDrawnSkyline(garden: string, bed: string, drawing: DrawnSkylineInput): Promise<void>
  deleteDrawnSkyline(garden: string, bed: string): Promise<boolean>

  getClearNormals(garden: string): Promise<ClearNormals | null>
  putClearNormals(garden: string, normals: ClearNormals): Promise<void>
  deleteClearNormals(garden: string): Promise<boolean>

  /** What the journal says of stages, by date; of all plantings when none is named. */
  listObservations(garden: string, planting?: string): Promise<Observation[]>

  /** adjusted and own crops */
  listCrops(garden: string): Promise<StoredCrop[]>
  putCrop(garden: string, crop: StoredCrop): Promise<void>
  /** @throws GardenError  STILL_USED for an own crop with plantings */
  deleteCrop(garden: string, id: string): Promise<boolean>

  getTemperatureNormals(garden: string): Promise<TemperatureNormals | null>
  putTemperatureNormals(garden: string, normals: TemperatureNormals): Promise<void>
  deleteTemperatureNormals(garden: string): Promise<boolean>

  getPlanWeather(garden: string): Promise<StoredPlanWeather | null>
  putPlanWeather(garden: string, weather: StoredPlanWeather): Promise<void>
  deletePlanWeather(garden: string): Promise<boolean>

  /** kinds of warnings muted, of all plantings */
  listMutes(garden: string): Promise<{ readonly planting: string; readonly kind: WarningKind }[]>
  /** in place of those there were @throws GardenError  UNKNOWN_PLANTING */
  putMutes(garden: string, planting: string, kinds: readonly WarningKind[]): Promise<void>

  bedForecast(garden: string, bed: string): Promise<StoredBedForecast | null>
  keepBedForecast(garden: string, bed: string, forecast: StoredBedForecast): Promise<void>
  /** one a source, the newest issued first */
  publicForecasts(garden: string): Promise<StoredPublicForecast[]>
  keepPublicForecast(garden: string, forecast: StoredPublicForecast): Promise<void>

  openWarnings(garden: string): Promise<StoredWarning[]>
  listWarnings(garden: string, limit: number): Promise<StoredWarning[]>
  saveWarning(garden: string, warning: StoredWarning): Promise<void>
  markWarningSeen(garden: string, id: string, seenAtMs: number): Promise<StoredWarning | null>

  close(): Promise<void>
}

export class GardenError extends Error {
  constructor(
    readonly code:
      | 'UNKNOWN_GARDEN'
      | 'UNKNOWN_BED'
      | 'UNKNOWN_NODE'
      | 'UNKNOWN_PLANTING'
      | 'OVERLAP'
      | 'OUT_OF_ORDER'
      | 'STILL_USED'
      | 'ID_TAKEN'
      | 'TOO_MANY_PHOTOS'
      | 'GARDEN_UNAVAILABLE',
    /** says what to do */
    message: string,
    /** the field at fault, for the form */
    readonly field: string | null = null,
    options?: { cause?: unknown },
  ) {
    super(message, options)
    this.name = 'GardenError'
  }
}
