/**
 * A payload from a node's readings topic turned into readings, or into a refusal.
 *
 * The quantity is the part of the resolved name after its last ":" or "/", in small letters, with "_" and "."
 * written as "-"; it must then be an id (shared/ids.ts).
 */
import { isId } from '../../shared/ids.js'
import { decodeCborRecords } from './cbor-records.js'
import { PackError } from './pack-error.js'
import { type ResolvedRecord, resolvePack } from './senml.js'
import { acceptedUnits, toStoredUnit } from './senml-units.js'
import type { RefusalReason } from './stored-readings.js'
import { parseStrictJson } from './strict-json.js'

export interface PackLimits {
  readonly maxRecords: number
}

export const PACK_LIMITS: PackLimits = { maxRecords: 20_000 }

export interface PackReading {
  readonly quantity: string
  /** UTC ms */
  readonly timeMs: number
  /** in the quantity's own unit */
  readonly value: number
}

export type DecodedPack =
  | {
      readonly ok: true
      readonly readings: readonly PackReading[]
      /** records with text (vs) or data (vd): correct SenML, but nothing that can be charted, so not kept */
      readonly skipped: number
      /** some time was given relative to now */
      readonly hasRelativeTimes: boolean
    }
  | {
      readonly ok: false
      readonly reason: RefusalReason
      readonly message: string
      /** first bytes, printable */
      readonly excerpt: string
    }

/**
 * Decodes one SenML pack, JSON or CBOR, told apart by the first byte: an array in CBOR starts with a byte of 0x80
 * or more, JSON text never does (but for a byte order mark, EF).
 *
 * @param receivedAtMs  when it came in; relative times count from it
 */
export function decodePack(
  payload: Uint8Array,
  receivedAtMs: number,
  limits: PackLimits = PACK_LIMITS,
): DecodedPack {
  try {
    if (payload.length === 0) throw new PackError('not-senml', 'the payload is empty')
    const isCbor = payload[0]! >= 0x80 && payload[0] !== 0xef
    const pack = isCbor ? decodeCborRecords(payload) : parseStrictJson(payload)
    return readingsOf(resolvePack(pack, receivedAtMs, limits.maxRecords))
  } catch (error) {
    if (!(error instanceof PackError)) throw error
    return { ok: false, reason: error.reason, message: error.message, excerpt: excerptOf(payload) }
  }
}

function readingsOf(records: readonly ResolvedRecord[]): DecodedPack {
  const readings: PackReading[] = []
  /** quantity → the name it came from: two names must not run together into one series */
  const names = new Map<string, string>()
  let skipped = 0
  let hasRelativeTimes = false
  for (const record of records) {
    const quantity = quantityOf(record.name)
    const sameQuantity = names.get(quantity)
    if (sameQuantity === undefined) names.set(quantity, record.name)
    else if (sameQuantity !== record.name)
      throw new PackError(
        'not-senml',
        `two names end alike: ${JSON.stringify(sameQuantity)} and ${JSON.stringify(record.name)} are both "${quantity}"; give each an ending of its own`,
      )
    if (record.isRelative) hasRelativeTimes = true

    const { value, timeMs } = record
    if (typeof value === 'number') {
      const stored = toStoredUnit(quantity, record.unit, value)
      if (stored === null)
        throw new PackError(
          'unit',
          `${quantity} in "${record.unit}": send it in ${acceptedUnits(quantity).join(' or ')}`,
        )
      readings.push({ quantity, timeMs, value: stored })
    } else if (typeof value === 'boolean') readings.push({ quantity, timeMs, value: value ? 1 : 0 })
    else if (value !== null) skipped++
    // an integral is a quantity of its own, in unit × s, kept as it comes
    if (record.sum !== null) readings.push({ quantity: sumOf(quantity), timeMs, value: record.sum })
  }
  return { ok: true, readings, skipped, hasRelativeTimes }
}

function quantityOf(name: string): string {
  const start = Math.max(name.lastIndexOf(':'), name.lastIndexOf('/')) + 1
  return asId(name.slice(start).toLowerCase().replace(/[._]/g, '-'), name)
}

const sumOf = (quantity: string): string => asId(`${quantity}-sum`, quantity)

function asId(quantity: string, name: string): string {
  if (!isId(quantity))
    throw new PackError(
      'not-senml',
      `the name ${JSON.stringify(name.slice(0, 80))} does not end in a quantity (1 to 63 letters, digits or hyphens after the last ":" or "/")`,
    )
  return quantity
}

const MOST_EXCERPT = 120

/** Start of a payload as text that is safe to show: what is not printable ASCII becomes a dot. */
export function excerptOf(payload: Uint8Array): string {
  let text = ''
  for (const byte of payload.subarray(0, MOST_EXCERPT))
    text += byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '·'
  return text
}
