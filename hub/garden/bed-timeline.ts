/** Which node speaks for a bed, when. Pure. */
import type { StoredPlacement } from './port.js'

/** One node speaks for the bed with fromMs <= time < toMs; toMs may be Infinity. */
export interface BedSegment {
  readonly node: string
  readonly fromMs: number
  readonly toMs: number
}

/**
 * Segments of a bed for one quantity, ascending, never overlapping, with holes where no node stood there.
 * Of the placements that cover an instant and have the quantity, the one that started last speaks: a grower who
 * puts a second node into a bed trusts the newer one, and history before stays as it was.
 *
 * @param placements   of this bed, any order
 * @param hasQuantity  did the placement's node send the quantity while it stood there? Asked only where
 *                     placements overlap: elsewhere the node that does not send it has no rival
 */
export function bedSegments(
  placements: readonly StoredPlacement[],
  hasQuantity: (placement: StoredPlacement) => boolean,
): BedSegment[] {
  const rivals = overlapping(placements)
  const speakers = placements.filter((p) => !rivals.has(p) || hasQuantity(p))
  const bounds = [...new Set(speakers.flatMap((p) => [p.fromMs, endMs(p)]))].sort((a, b) => a - b)
  const segments: BedSegment[] = []
  for (let i = 0; i + 1 < bounds.length; i++) {
    const fromMs = bounds[i]!
    const toMs = bounds[i + 1]!
    const speaker = lastStarted(speakers.filter((p) => p.fromMs <= fromMs && endMs(p) >= toMs))
    if (!speaker) continue
    const before = segments.at(-1)
    if (before?.node === speaker.node && before.toMs === fromMs) {
      segments[segments.length - 1] = { ...before, toMs }
    } else segments.push({ node: speaker.node, fromMs, toMs })
  }
  return segments
}

/** Placements that share some time with another one of the bed. */
export function overlapping(placements: readonly StoredPlacement[]): Set<StoredPlacement> {
  const found = new Set<StoredPlacement>()
  for (const [i, a] of placements.entries()) {
    for (const b of placements.slice(i + 1)) {
      if (a.fromMs < endMs(b) && b.fromMs < endMs(a)) found.add(a).add(b)
    }
  }
  return found
}

/** The parts of segments that lie in a range. */
export function segmentsWithin(segments: readonly BedSegment[], fromMs: number, toMs: number): BedSegment[] {
  return segments
    .filter((s) => s.fromMs < toMs && s.toMs > fromMs)
    .map((s) => ({ node: s.node, fromMs: Math.max(s.fromMs, fromMs), toMs: Math.min(s.toMs, toMs) }))
}

const endMs = (placement: StoredPlacement): number => placement.toMs ?? Number.POSITIVE_INFINITY

function lastStarted(placements: readonly StoredPlacement[]): StoredPlacement | undefined {
  return placements.reduce<StoredPlacement | undefined>(
    (last, p) => (!last || p.fromMs > last.fromMs || (p.fromMs === last.fromMs && p.id > last.id) ? p : last),
    undefined,
  )
}
