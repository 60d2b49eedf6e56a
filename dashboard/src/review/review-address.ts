/** The address of a look back: from when to when, and which planting alone. Pure. */
import { isDate } from '../../../shared/local-time.js'

export interface ReviewAddress {
  readonly from: string
  readonly to: string
  /** null: all of the garden */
  readonly planting: string | null
}

/** Days that the hub looks back over at most. */
const MOST_YEARS = 6

export function reviewPath({ from, to, planting }: ReviewAddress): string {
  const query = new URLSearchParams({ from, to, ...(planting === null ? {} : { planting }) })
  return `/review?${query}`
}

/**
 * Reads such an address. Without dates: this calendar year so far; south of the equator, where seasons cross the new year,
 * from the first of July on.
 */
export function reviewAddressIn(search: string, today: string, isSouth: boolean): ReviewAddress {
  const query = new URLSearchParams(search)
  const date = (name: string): string | null => {
    const given = query.get(name) ?? ''
    return isDate(given) ? given : null
  }
  const to = date('to') ?? today
  const from = date('from') ?? seasonStart(to, isSouth)
  return { from, to, planting: query.get('planting') || null }
}

/** First day of the season that a date belongs to. */
export function seasonStart(date: string, isSouth: boolean): string {
  const year = Number(date.slice(0, 4))
  if (!isSouth) return `${year}-01-01`
  return date.slice(5) >= '07-01' ? `${year}-07-01` : `${year - 1}-07-01`
}

export interface SeasonChoice {
  /** '2026', or '2026/27' */
  readonly name: string
  readonly from: string
  readonly to: string
}

/** The seasons from the garden's first to today's, newest first, and all of them together where there are several. */
export function seasonChoices(since: string | null, today: string, isSouth: boolean): SeasonChoice[] {
  const seasons: SeasonChoice[] = []
  let from = seasonStart(today, isSouth)
  const first = since === null || since > today ? from : seasonStart(since, isSouth)
  while (from >= first && seasons.length < MOST_YEARS) {
    const year = Number(from.slice(0, 4))
    const end = isSouth ? `${year + 1}-06-30` : `${year}-12-31`
    seasons.push({
      name: isSouth ? `${year}/${String((year + 1) % 100).padStart(2, '0')}` : String(year),
      from,
      to: end < today ? end : today,
    })
    from = `${year - 1}${from.slice(4)}`
  }
  const [newest, oldest] = [seasons[0], seasons.at(-1)]
  if (newest !== undefined && oldest !== undefined && seasons.length > 1) {
    seasons.push({ name: 'all of them', from: oldest.from, to: newest.to })
  }
  return seasons
}
