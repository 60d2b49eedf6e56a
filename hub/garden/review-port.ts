/** Looking back over a season: what the API asks. Implemented by season-review.ts. */
import type { JournalEntry } from '../../shared/api/journal.js'
import type { PlantingReport } from '../../shared/api/progress.js'
import type {
  Harvest,
  HeadComparison,
  ReviewBed,
  ReviewPlanting,
  StageShare,
} from '../../shared/api/review.js'
import type { StoredWarning } from './port.js'

/** A planting as reckoned up; warnings still as they are kept. */
export interface PlantingLookedBack extends Omit<ReviewPlanting, 'warnings'> {
  readonly stages: StageShare[]
  readonly doses: PlantingReport['doses']
  readonly journal: JournalEntry[]
  readonly harvest: Harvest
  readonly warnings: readonly StoredWarning[]
}

export interface LookedBack {
  readonly from: string
  readonly to: string
  readonly since: string | null
  readonly beds: ReviewBed[]
  readonly plantings: PlantingLookedBack[]
  readonly comparisons: HeadComparison[]
}

export interface ReviewState {
  /** null: it is still being added up */
  readonly review: LookedBack | null
  readonly done: number
  readonly of: number
}

export interface SeasonReviews {
  /**
   * @param planting  this one alone; null: all that grew from one date to the other, both included
   * @throws GardenError  UNKNOWN_GARDEN
   */
  of(garden: string, fromDate: string, toDate: string, planting: string | null): Promise<ReviewState>
}
