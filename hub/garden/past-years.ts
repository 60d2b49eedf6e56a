/** The degree days of a garden's past years, for projections. A store that has no roll-ups yet takes long to add them up. */
import type { Garden } from '../../shared/api/garden.js'
import { addDays, daysBetween, localDate } from '../../shared/local-time.js'
import type { Thresholds } from '../core/heat/degree-days.js'
import type { WarmthDay } from '../core/heat/season-degree-days.js'
import type { BedTemperatures } from './bed-temperatures.js'
import { withPatience } from './patience.js'
import type { GardenRepository, StoredPlacement } from './port.js'

/** More years than these make the interval no narrower worth the reading. */
const MOST_YEARS = 6
const DAYS_A_YEAR = 366
/** Whoever asks waits for this long at most; later the years are there. */
const PATIENCE_MS = 4_000

export interface PastYears {
  /**
   * @param bed     where the planting stands
   * @param limits  the crop's
   * @returns null: they are still being added up
   */
  of(garden: Garden, bed: string, limits: Thresholds, today: string): Promise<readonly WarmthDay[] | null>
}

export function createPastYears(deps: {
  readonly garden: GardenRepository
  readonly warmth: BedTemperatures['warmth']
}): PastYears {
  const { garden: repository, warmth } = deps
  const known = new Map<string, Promise<readonly WarmthDay[]>>()

  const load = async (
    garden: Garden,
    bed: string,
    limits: Thresholds,
    today: string,
  ): Promise<readonly WarmthDay[]> => {
    const record = longestRecord(await repository.listPlacements(garden.id), bed, garden, today)
    if (record === null) return []
    return warmth(garden, record.bed, record.from, addDays(today, -1), limits)
  }

  return {
    async of(garden, bed, limits, today) {
      const { baseC, upperC, cutoff } = limits
      const key = `${garden.id}/${bed}/${baseC}/${upperC}/${cutoff}/${today}`
      let loading = known.get(key)
      if (!loading) {
        for (const old of known.keys()) if (!old.endsWith(`/${today}`)) known.delete(old)
        loading = load(garden, bed, limits, today)
        known.set(key, loading)
        // a failure is told to who asked, and not kept for the next
        loading.catch(() => known.delete(key))
      }
      return withPatience(loading, PATIENCE_MS)
    },
  }
}

/** The planting's own bed where it was measured a year ago, else the bed that has been measured longest; null: none. */
function longestRecord(
  placements: readonly StoredPlacement[],
  bed: string,
  { timeZone }: Garden,
  today: string,
): { readonly bed: string; readonly from: string } | null {
  const since = new Map<string, number>()
  for (const { bed: id, fromMs } of placements) since.set(id, Math.min(fromMs, since.get(id) ?? fromMs))
  const yearAgo = addDays(today, -DAYS_A_YEAR)
  const old = [...since]
    .map(([id, fromMs]) => ({ bed: id, from: localDate(fromMs, timeZone) }))
    .filter(({ from }) => from <= yearAgo)
    .sort((a, b) => (a.from < b.from ? -1 : 1))
  const chosen = old.find((one) => one.bed === bed) ?? old[0]
  if (!chosen) return null
  const sinceDays = Math.min(daysBetween(chosen.from, today), MOST_YEARS * DAYS_A_YEAR)
  return { bed: chosen.bed, from: addDays(today, -sinceDays) }
}
