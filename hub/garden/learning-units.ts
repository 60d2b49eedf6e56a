/** What is learned together for one month of a garden: its placements, cut to the window. Pure. */
import { createHash } from 'node:crypto'
import type { Garden } from '../../shared/api/garden.js'
import type { DrawnSkyline } from '../core/sun/drawn-skyline.js'
import type { NodeSpan } from './append-ledger.js'
import { type BedSegment, segmentsWithin } from './bed-timeline.js'
import { LIGHT_FLAGS_REACH_MS } from './day-influence.js'
import type { LearningWindow } from './learning-window.js'
import type { LightStretch } from './light-stretches.js'

/** A placement of the garden as far as it belongs into a window. */
export interface LearningUnit {
  readonly placement: string
  readonly bed: string
  /** of the bed, while the placement speaks for it */
  readonly light: readonly BedSegment[]
  readonly irradiance: readonly BedSegment[]
  readonly drawn: DrawnSkyline | null
}

export interface BedLightSetup {
  readonly bed: string
  readonly light: readonly BedSegment[]
  readonly irradiance: readonly BedSegment[]
  readonly stretches: readonly LightStretch[]
  readonly drawn: DrawnSkyline | null
}

/** The placements of a bed with a share in a window. */
export function unitsOf(setup: BedLightSetup, { fromMs, cutMs }: LearningWindow): LearningUnit[] {
  const { bed, stretches, light, irradiance, drawn } = setup
  const placements = [...new Set(stretches.map((s) => s.placement))]
  return placements.flatMap((placement) => {
    const pieces = stretches
      .filter((s) => s.placement === placement && s.fromMs < cutMs && s.toMs > fromMs)
      .map((s) => ({ ...s, fromMs: Math.max(s.fromMs, fromMs), toMs: Math.min(s.toMs, cutMs) }))
    if (pieces.length === 0) return []
    const within = (segments: readonly BedSegment[]): BedSegment[] =>
      pieces.flatMap((p) => segmentsWithin(segments, p.fromMs, p.toMs))
    return [{ placement, bed, light: within(light), irradiance: within(irradiance), drawn }]
  })
}

/** Everything but the readings that the learned follows from. */
export function basisOf(
  garden: Garden,
  units: readonly LearningUnit[],
  { fromMs, cutMs }: LearningWindow,
): string {
  const { latitudeDeg, longitudeDeg, elevationM, timeZone } = garden
  const text = JSON.stringify([
    [latitudeDeg, longitudeDeg, elevationM, timeZone],
    [fromMs, cutMs],
    units.map((u) => [u.placement, u.bed, u.light, u.irradiance, u.drawn ? [...u.drawn] : null]),
  ])
  return digest(text)
}

/** Equal text, equal digest. */
export const digest = (text: string): string =>
  createHash('sha256').update(text).digest('base64url').slice(0, 22)

/** Readings of nodes that were looked at, and those that bear on their flags. */
export const restsOn = (units: readonly LearningUnit[]): NodeSpan[] =>
  units.flatMap(({ light, irradiance }) =>
    [...light, ...irradiance].map((s) => ({
      node: s.node,
      fromMs: s.fromMs - LIGHT_FLAGS_REACH_MS,
      toMs: s.toMs + LIGHT_FLAGS_REACH_MS,
    })),
  )
