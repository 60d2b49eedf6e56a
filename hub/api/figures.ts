/** Stored and computed figures in the form they have on the wire. NaN never leaves the hub: it becomes null. */
import type { Placement } from '../../shared/api/garden.js'
import type { BedSun, LatestValue } from '../../shared/api/measurements.js'
import type { Warning } from '../../shared/api/warnings.js'
import { Certainty, Severity, Urgency } from '../../shared/api/warnings.js'
import { isoWithOffset } from '../../shared/local-time.js'
import { flagNames } from '../../shared/quality-flags.js'
import { QUANTITIES } from '../../shared/quantities.js'
import type { DaySun } from '../core/sun/day-sun.js'
import type { StoredPlacement, StoredWarning } from '../garden/port.js'
import type { LatestReading } from '../store/port.js'

/** Time zone of answers about a garden that has not been set up. */
export const ZONE_UNTIL_KNOWN = 'UTC'

export const instantOrNull = (timeMs: number | null, timeZone: string): string | null =>
  timeMs === null ? null : isoWithOffset(timeMs, timeZone)

/** A column for JSON: NaN (no good reading) becomes null. */
export const column = (values: Float64Array): (number | null)[] =>
  Array.from(values, (value) => (Number.isFinite(value) ? value : null))

/** Times for JSON: UTC ms become epoch seconds. */
export const timeColumn = (timesMs: Float64Array): number[] => Array.from(timesMs, (timeMs) => timeMs / 1000)

export const unitOf = (quantity: string): string => QUANTITIES.get(quantity)?.unit ?? ''

export const latestValue = (reading: LatestReading, timeZone: string): LatestValue => ({
  quantity: reading.quantity,
  unit: unitOf(reading.quantity),
  node: reading.node,
  time: isoWithOffset(reading.timeMs, timeZone),
  value: reading.value,
  flags: flagNames(reading.flags),
})

export const bedSun = (sun: DaySun, timeZone: string): BedSun => ({
  date: sun.date,
  from: isoWithOffset(sun.startMs, timeZone),
  to: isoWithOffset(sun.endMs, timeZone),
  sunrise: instantOrNull(sun.sunriseMs, timeZone),
  sunset: instantOrNull(sun.sunsetMs, timeZone),
  sunHours: sun.sunHours,
  possibleSunHours: sun.possibleSunHours,
  stillPossibleHours: sun.stillPossibleHours,
  sunCoverage: sun.coverage,
  segments: sun.segments.map(({ fromMs, toMs, state }) => ({
    from: isoWithOffset(fromMs, timeZone),
    to: isoWithOffset(toMs, timeZone),
    state,
  })),
})

export const placementOnWire = (placement: StoredPlacement, timeZone: string): Placement => ({
  id: placement.id,
  node: placement.node,
  bed: placement.bed,
  from: isoWithOffset(placement.fromMs, timeZone),
  to: instantOrNull(placement.toMs, timeZone),
})

export const warningOnWire = (warning: StoredWarning, timeZone: string): Warning => ({
  id: warning.id,
  kind: warning.kind,
  bed: warning.bed,
  node: warning.node,
  planting: warning.planting,
  severity: Severity.parse(warning.severity),
  urgency: Urgency.parse(warning.urgency),
  certainty: Certainty.parse(warning.certainty),
  headline: warning.headline,
  why: warning.why,
  advice: warning.advice,
  raisedAt: isoWithOffset(warning.raisedAtMs, timeZone),
  updatedAt: isoWithOffset(warning.updatedAtMs, timeZone),
  clearedAt: instantOrNull(warning.clearedAtMs, timeZone),
  seenAt: instantOrNull(warning.seenAtMs, timeZone),
  onset: instantOrNull(warning.onsetMs, timeZone),
  expires: instantOrNull(warning.expiresMs, timeZone),
  chance: warning.chance,
})
