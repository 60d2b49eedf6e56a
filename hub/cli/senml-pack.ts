/** Readings as nodes put them on the wire: a SenML pack (RFC 8428) in JSON. */
import { QUANTITIES } from '../../shared/quantities.js'

export interface PackReading {
  readonly quantity: string
  /** UTC ms */
  readonly timeMs: number
  /** in the quantity's own unit (shared/quantities.ts) */
  readonly value: number
}

/** RFC 8428 §4.5.3: a time below 2^28 s counts from now, so earlier instants cannot be said (5 July 1978). */
export const EARLIEST_SENML_MS = 2 ** 28 * 1000

interface SenmlRecord {
  bt?: number
  n: string
  u?: string
  v: number
  t?: number
}

/**
 * One pack: the first reading's second is the base time, the others count from it.
 *
 * @throws RangeError  no reading, or one from before 5 July 1978, which SenML would take for "from now"
 */
export function senmlPack(readings: readonly PackReading[]): string {
  const first = readings[0]
  if (!first) throw new RangeError('a pack needs at least one reading')
  const baseS = Math.floor(first.timeMs / 1000)
  const records = readings.map((reading, i) => {
    if (reading.timeMs < EARLIEST_SENML_MS) {
      throw new RangeError(
        `SenML has no absolute time before July 1978: ${new Date(reading.timeMs).toISOString()}`,
      )
    }
    const record: SenmlRecord =
      i === 0 ? { bt: baseS, n: reading.quantity, v: 0 } : { n: reading.quantity, v: 0 }
    const unit = QUANTITIES.get(reading.quantity)?.senmlUnit
    if (unit !== undefined) record.u = unit
    record.v = reading.value
    const offsetS = reading.timeMs / 1000 - baseS
    if (offsetS !== 0) record.t = Number(offsetS.toFixed(3))
    return record
  })
  return JSON.stringify(records)
}
