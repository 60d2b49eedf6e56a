/** A bed's warnings of one kind as the retained message on `gardens/{garden}/beds/{bed}/warnings/{kind}`. */
import { isoWithOffset } from '../../shared/local-time.js'
import type { StoredWarning } from '../garden/port.js'

/**
 * JSON: a list of the open warnings, the newest first, with field names as in the API; empty text (which clears a
 * retained message) where there are none. Several can be open at once: two plantings, two sensors.
 */
export function warningMessage(open: readonly StoredWarning[], timeZone: string): string {
  if (open.length === 0) return ''
  return JSON.stringify(
    [...open]
      .sort((a, b) => b.raisedAtMs - a.raisedAtMs)
      .map((w) => ({
        id: w.id,
        kind: w.kind,
        bed: w.bed,
        node: w.node,
        planting: w.planting,
        severity: w.severity,
        urgency: w.urgency,
        certainty: w.certainty,
        headline: w.headline,
        why: w.why,
        advice: w.advice,
        raisedAt: isoWithOffset(w.raisedAtMs, timeZone),
        updatedAt: isoWithOffset(w.updatedAtMs, timeZone),
        onset: w.onsetMs === null ? null : isoWithOffset(w.onsetMs, timeZone),
        expires: w.expiresMs === null ? null : isoWithOffset(w.expiresMs, timeZone),
        chance: w.chance,
      })),
  )
}
