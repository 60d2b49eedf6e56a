/** Whose light speaks for a bed, when: stretches of one placement each. What is learned is learned for these. Pure. */
import type { BedSegment } from './bed-timeline.js'
import type { StoredPlacement } from './port.js'

export interface LightStretch {
  /** id of the placement */
  readonly placement: string
  readonly node: string
  readonly fromMs: number
  /** may be Infinity */
  readonly toMs: number
}

/**
 * Ascending, not overlapping. A node that is moved away and comes back stands a little elsewhere: another placement.
 *
 * @param light       the bed's segments for `light`; where they leave a hole, those for `irradiance` count
 * @param placements  of the bed
 */
export function lightStretches(
  light: readonly BedSegment[],
  irradiance: readonly BedSegment[],
  placements: readonly StoredPlacement[],
): LightStretch[] {
  const bounds = [...light, ...irradiance].flatMap((s) => [s.fromMs, s.toMs])
  for (const p of placements) bounds.push(p.fromMs, p.toMs ?? Number.POSITIVE_INFINITY)
  const cuts = [...new Set(bounds)].sort((a, b) => a - b)
  const stretches: LightStretch[] = []
  for (let i = 0; i + 1 < cuts.length; i++) {
    const fromMs = cuts[i]!
    const toMs = cuts[i + 1]!
    const covers = (s: BedSegment): boolean => s.fromMs <= fromMs && s.toMs >= toMs
    const speaker = light.find(covers) ?? irradiance.find(covers)
    const placement = placements.find(
      (p) => p.node === speaker?.node && p.fromMs <= fromMs && (p.toMs === null || p.toMs >= toMs),
    )
    if (!placement) continue
    const last = stretches.at(-1)
    if (last?.placement === placement.id && last.toMs === fromMs) {
      stretches[stretches.length - 1] = { ...last, toMs }
    } else stretches.push({ placement: placement.id, node: placement.node, fromMs, toMs })
  }
  return stretches
}
