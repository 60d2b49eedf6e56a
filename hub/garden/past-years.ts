/** The degree days of a garden's past years, for projections. Years of minutes take long to add up the first time. */
import type { Garden, Planting } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import { addDays, daysBetween, localDate } from '../../shared/local-time.js'
import type { WarmthDay } from '../core/heat/season-degree-days.js'
import { withPatience } from './patience.js'
import type { GardenRepository, StoredPlacement } from './port.js'

/** More years than these make the interval no narrower worth the reading. */
const MOST_YEARS = 6
const DAYS_A_YEAR = 366
/** Whoever asks waits for this long at most; later the years are there. */
const PATIENCE_MS = 4_000

export interface PastYears {
  /** null: they are still being added up */
  of(garden: Garden, planting: Planting, today: string): Promise<readonly WarmthDay[] | null>
}

export function createPastYears(deps: {
  readonly garden: GardenRepository
  readonly cropDays: (
    garden: string,
    bed: string,
    crop: string,
    fromDate: string,
    toDate: string,
  ) => Promise<DayRecord[]>
}): PastYears {
  const { garden: repository, cropDays } = deps
  const known = new Map<string, Promise<readonly WarmthDay[]>>()

  const load = async (garden: Garden, planting: Planting, today: string): Promise<readonly WarmthDay[]> => {
    const record = longestRecord(await repository.listPlacements(garden.id), planting.bed, garden, today)
    if (record === null) return []
    return cropDays(garden.id, record.bed, planting.crop, record.from, addDays(today, -1))
  }

  return {
    async of(garden, planting, today) {
      const key = `${garden.id}/${planting.bed}/${planting.crop}/${today}`
      let loading = known.get(key)
      if (!loading) {
        for (const old of known.keys()) if (!old.endsWith(`/${today}`)) known.delete(old)
        loading = load(garden, planting, today)
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
