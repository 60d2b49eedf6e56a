/** The stretch of time a bed's charts show, and how it moves: pure, in epoch seconds. */

export interface TimeRange {
  readonly fromS: number
  readonly toS: number
  /** the right edge moves with the present */
  readonly isFollowing: boolean
}

const HOUR_S = 3600
const DAY_S = 86_400
export const MIN_SPAN_S = HOUR_S
export const MAX_SPAN_S = 20 * 366 * DAY_S

/** The spans with a button of their own; `key` is what the address bar remembers. */
export const SPANS = [
  { key: '1h', label: 'hour', spanS: HOUR_S },
  { key: '6h', label: '6 hours', spanS: 6 * HOUR_S },
  { key: '1d', label: 'day', spanS: DAY_S },
  { key: '3d', label: '3 days', spanS: 3 * DAY_S },
  { key: '7d', label: 'week', spanS: 7 * DAY_S },
  { key: '30d', label: 'month', spanS: 30 * DAY_S },
  { key: '90d', label: 'season', spanS: 90 * DAY_S },
  { key: '365d', label: 'year', spanS: 365 * DAY_S },
  { key: '1826d', label: '5 years', spanS: 1826 * DAY_S },
] as const

export const spanOf = (range: TimeRange): number => range.toS - range.fromS

/** The last `spanS` seconds, moving with the present. */
export function latest(spanS: number, nowS: number): TimeRange {
  return { fromS: nowS - spanS, toS: nowS, isFollowing: true }
}

/** Keeps span within its limits and the right edge no later than the present. */
function settle(fromS: number, toS: number, nowS: number): TimeRange {
  const spanS = Math.min(MAX_SPAN_S, Math.max(MIN_SPAN_S, toS - fromS))
  const middleS = (fromS + toS) / 2
  const endS = toS - fromS === spanS ? toS : middleS + spanS / 2
  if (endS >= nowS) return latest(spanS, nowS)
  return { fromS: endS - spanS, toS: endS, isFollowing: false }
}

/** Moves by a part of the span: −1 is one whole view earlier. */
export function pan(range: TimeRange, part: number, nowS: number): TimeRange {
  const shiftS = spanOf(range) * part
  return settle(range.fromS + shiftS, range.toS + shiftS, nowS)
}

/** Zooms by a factor (2: twice the span) round an instant that keeps its place on screen. */
export function zoom(range: TimeRange, factor: number, anchorS: number, nowS: number): TimeRange {
  const spanS = Math.min(MAX_SPAN_S, Math.max(MIN_SPAN_S, spanOf(range) * factor))
  const place = (anchorS - range.fromS) / spanOf(range)
  const fromS = anchorS - place * spanS
  return settle(fromS, fromS + spanS, nowS)
}

/** Carries a following range along to the present; any other stays. */
export function follow(range: TimeRange, nowS: number): TimeRange {
  return range.isFollowing ? latest(spanOf(range), nowS) : range
}

/** A range between two instants given by hand. */
export const between = (fromS: number, toS: number, nowS: number): TimeRange => settle(fromS, toS, nowS)

/** As the address bar remembers it: `span=7d`, or `from=…&to=…` in epoch seconds. */
export function toQuery(range: TimeRange): string {
  if (!range.isFollowing) return `from=${Math.round(range.fromS)}&to=${Math.round(range.toS)}`
  const named = SPANS.find((s) => s.spanS === spanOf(range))
  return `span=${named?.key ?? `${Math.round(spanOf(range))}s`}`
}

/** Reads toQuery's form back; null when there is none or it makes no sense. */
export function fromQuery(query: URLSearchParams, nowS: number): TimeRange | null {
  const span = query.get('span')
  if (span !== null) {
    const named = SPANS.find((s) => s.key === span)
    const spanS = named?.spanS ?? (/^\d+s$/.test(span) ? Number(span.slice(0, -1)) : null)
    return spanS === null ? null : latest(Math.min(MAX_SPAN_S, Math.max(MIN_SPAN_S, spanS)), nowS)
  }
  const from = query.get('from')
  const to = query.get('to')
  if (from === null || to === null || !/^\d+$/.test(from) || !/^\d+$/.test(to)) return null
  return Number(to) > Number(from) ? between(Number(from), Number(to), nowS) : null
}
