/**
 * The ribbon's geometry: sun states of a stretch of time onto columns of whole pixels. Each pixel takes the state
 * that fills most of it, so a morning of broken cloud neither shimmers nor leaves seams. Pure.
 */
import type { SunState } from '../../../shared/api/measurements.js'

export interface Segment {
  readonly fromMs: number
  readonly toMs: number
  readonly state: SunState
}

/** A run of pixels of one state: from `x0` up to but not including `x1`. */
export interface Band {
  readonly x0: number
  readonly x1: number
  readonly state: SunState
}

/**
 * @param segments in order of time, not overlapping; holes stay open (no band)
 * @param widthPx whole pixels of the ribbon
 */
export function ribbonBands(
  segments: readonly Segment[],
  fromMs: number,
  toMs: number,
  widthPx: number,
): Band[] {
  if (!(toMs > fromMs) || widthPx < 1) return []
  const msPerPx = (toMs - fromMs) / widthPx
  const bands: Band[] = []
  let first = 0
  for (let x = 0; x < widthPx; x++) {
    const leftMs = fromMs + x * msPerPx
    const rightMs = leftMs + msPerPx
    while (first < segments.length && (segments[first]?.toMs ?? 0) <= leftMs) first++
    const state = fullest(segments, first, leftMs, rightMs)
    if (state === null) continue
    const last = bands[bands.length - 1]
    if (last !== undefined && last.x1 === x && last.state === state) {
      bands[bands.length - 1] = { ...last, x1: x + 1 }
    } else bands.push({ x0: x, x1: x + 1, state })
  }
  return bands
}

/** The state that fills most of a pixel, null where the hole does. */
function fullest(
  segments: readonly Segment[],
  first: number,
  leftMs: number,
  rightMs: number,
): SunState | null {
  const share = new Map<SunState, number>()
  let covered = 0
  for (let i = first; i < segments.length; i++) {
    const segment = segments[i]
    if (segment === undefined || segment.fromMs >= rightMs) break
    const ms = Math.min(segment.toMs, rightMs) - Math.max(segment.fromMs, leftMs)
    if (ms <= 0) continue
    share.set(segment.state, (share.get(segment.state) ?? 0) + ms)
    covered += ms
  }
  let best: SunState | null = null
  let most = rightMs - leftMs - covered
  for (const [state, ms] of share) {
    if (ms >= most) {
      best = state
      most = ms
    }
  }
  return best
}

/** Hours of each state within the segments. */
export function hoursByState(segments: readonly Segment[]): Record<SunState, number> {
  const hours: Record<SunState, number> = { sun: 0, cloud: 0, shade: 0, night: 0, unknown: 0 }
  for (const s of segments) hours[s.state] += (s.toMs - s.fromMs) / 3_600_000
  return hours
}

/** The instant at which so many hours of sun were complete, ms; null when they never were. */
export function sunReachedAtMs(segments: readonly Segment[], hours: number): number | null {
  let leftMs = hours * 3_600_000
  for (const s of segments) {
    if (s.state !== 'sun') continue
    const ms = s.toMs - s.fromMs
    if (ms >= leftMs) return s.fromMs + leftMs
    leftMs -= ms
  }
  return null
}

/** Whole-hour ticks that fit a width: every hour, second, third or sixth. */
export function tickEveryHours(spanHours: number, widthPx: number): number {
  const room = (30 * spanHours) / Math.max(1, widthPx)
  return [1, 2, 3, 6].find((step) => step >= room) ?? 12
}
