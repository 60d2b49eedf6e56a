/** A live event into what the page shows. Pure. */
import type { LatestValue, Today } from '../../../shared/api/measurements.js'
import type { LiveEvent, Warning } from '../../../shared/api/warnings.js'
import { isoWithOffset } from '../../../shared/local-time.js'
import { flagNames } from '../../../shared/quality-flags.js'
import { QUANTITIES } from '../../../shared/quantities.js'

export type Readings = Extract<LiveEvent, { type: 'readings' }>

/** A new latest value in its bed's row; one older than what is shown (a backlog) changes nothing. */
export function withReadings(shown: Today, event: Readings, zone: string): Today {
  return {
    ...shown,
    beds: shown.beds.map((row) => {
      if (row.bed !== event.bed) return row
      let { latest } = row
      for (const reading of event.values) {
        const old = latest.find((l) => l.quantity === reading.quantity)
        if (old !== undefined && Date.parse(old.time) >= reading.time * 1000) continue
        const fresh: LatestValue = {
          quantity: reading.quantity,
          unit: old?.unit ?? QUANTITIES.get(reading.quantity)?.unit ?? '',
          node: event.node,
          time: isoWithOffset(reading.time * 1000, zone),
          value: reading.value,
          flags: flagNames(reading.flags),
        }
        latest = old === undefined ? [...latest, fresh] : latest.map((l) => (l === old ? fresh : l))
      }
      return { ...row, latest }
    }),
  }
}

/** A warning raised, changed or cleared, in its place. */
export function withWarning(shown: readonly Warning[], warning: Warning): Warning[] {
  const others = shown.filter((w) => w.id !== warning.id)
  return warning.clearedAt === null ? [warning, ...others] : others
}
