/**
 * SenML, RFC 8428: records with base fields resolved. Says nothing of beds or quantities (that is pack.ts).
 * The clause of the RFC stands beside the line.
 */
import { PackError } from './pack-error.js'

/** One record with its base values applied and its time absolute (RFC 8428 §4.6). */
export interface ResolvedRecord {
  readonly name: string
  readonly unit: string | null
  /** number, or what vs, vb and vd hold; null: the record has a sum only */
  readonly value: number | string | boolean | Uint8Array | null
  /** integral of the value over time, unit × s; null: none */
  readonly sum: number | null
  /** UTC ms */
  readonly timeMs: number
  /** the pack gave it relative to now */
  readonly isRelative: boolean
}

/** §4.4: 10 is this RFC's version, drafts were lower; RFC 9100 §3: 26 = 10 with secondary units (RFC 8798) */
const DEFAULT_VERSION = 10
const understandsVersion = (version: number): boolean => version <= DEFAULT_VERSION || version === 26

/** §4.5.3: smaller values are seconds from now */
const FIRST_ABSOLUTE_S = 2 ** 28
/** what a calendar can show: 1970 to 9999 */
const LAST_TIME_MS = Date.UTC(10_000, 0, 1) - 1

/** §4.5.1 */
const NAME = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/

interface Base {
  name: string
  timeS: number
  unit: string | null
  value: number | null
  sum: number | null
  version: number
}

/**
 * Resolves the records of a pack.
 *
 * @param pack   what JSON or CBOR gave
 * @param nowMs  when the pack came in; relative times count from it
 * @param most   more records than this are refused
 * @throws PackError  'not-senml' or 'time', naming the record, counted from 1; 'too-many-records'
 */
export function resolvePack(pack: unknown, nowMs: number, most = Number.POSITIVE_INFINITY): ResolvedRecord[] {
  // §3, §5: a pack is an array of one or more records
  if (!Array.isArray(pack)) throw new PackError('not-senml', 'a SenML pack is an array of records')
  if (pack.length === 0) throw new PackError('not-senml', 'the pack is empty')
  if (pack.length > most)
    throw new PackError(
      'too-many-records',
      `${pack.length} records, at most ${most} are taken: send several packs`,
    )

  const base: Base = { name: '', timeS: 0, unit: null, value: null, sum: null, version: DEFAULT_VERSION }
  const resolved: ResolvedRecord[] = []
  for (let i = 0; i < pack.length; i++) {
    try {
      const record = resolveRecord(pack[i], i, base, nowMs)
      if (record) resolved.push(record)
    } catch (error) {
      if (error instanceof PackError) throw new PackError(error.reason, `record ${i + 1}: ${error.message}`)
      throw error
    }
  }
  return resolved
}

/** null: the record has base fields only and nothing to resolve */
function resolveRecord(record: unknown, index: number, base: Base, nowMs: number): ResolvedRecord | null {
  if (typeof record !== 'object' || record === null || Array.isArray(record))
    throw new PackError('not-senml', 'a record is an object')
  let name = ''
  let unit: string | null = null
  let value: ResolvedRecord['value'] = null
  let values = 0
  let sum: number | null = null
  let timeS = 0
  let onlyBase = true

  for (const [label, field] of Object.entries(record)) {
    switch (label) {
      // §4.1: base fields hold for this record and the following ones
      case 'bn':
        base.name = text(label, field)
        continue
      case 'bt':
        base.timeS = number(label, field)
        continue
      case 'bu':
        base.unit = text(label, field)
        continue
      case 'bv':
        base.value = number(label, field)
        continue
      case 'bs':
        base.sum = number(label, field)
        continue
      case 'bver':
        readVersion(number(label, field), index, base)
        continue
    }
    switch (label) {
      // §4.2: regular fields
      case 'n':
        name = text(label, field)
        break
      case 'u':
        unit = text(label, field)
        break
      case 'v':
        value = number(label, field)
        values++
        break
      case 'vs':
        value = text(label, field)
        values++
        break
      case 'vb':
        if (typeof field !== 'boolean') throw new PackError('not-senml', 'vb must be true or false')
        value = field
        values++
        break
      case 'vd':
        // §5: base64url text in JSON, §6: bytes in CBOR
        if (!(field instanceof Uint8Array) && typeof field !== 'string')
          throw new PackError('not-senml', 'vd must be base64url text, in CBOR bytes')
        value = field
        values++
        break
      case 's':
        sum = number(label, field)
        break
      case 't':
        timeS = number(label, field)
        break
      case 'ut':
        number(label, field)
        break
      default:
        // §4.4: an unknown label is ignored, unless it ends in "_": then it must be understood
        if (label.endsWith('_')) throw new PackError('not-senml', `the field "${label}" is not understood`)
        continue
    }
    onlyBase = false
  }
  if (onlyBase) {
    if (Object.keys(record).length === 0) throw new PackError('not-senml', 'the record is empty')
    return null
  }

  // §4.2: exactly one value field, unless there is a sum; §4.5.4: a missing value or sum counts as zero
  // where its base is given
  if (values > 1) throw new PackError('not-senml', 'more than one value field')
  if (base.value !== null && (values === 0 || typeof value === 'number'))
    value = base.value + (typeof value === 'number' ? value : 0)
  if (base.sum !== null) sum = base.sum + (sum ?? 0)
  if (value === null && sum === null)
    throw new PackError('not-senml', 'no value: v, vs, vb, vd or s is needed')
  if (typeof value === 'number' && !Number.isFinite(value))
    throw new PackError('not-senml', 'v is not finite')
  if (sum !== null && !Number.isFinite(sum)) throw new PackError('not-senml', 's is not finite')

  // §4.5.1
  const fullName = base.name + name
  if (!NAME.test(fullName))
    throw new PackError(
      'not-senml',
      fullName === ''
        ? 'no name: n or bn is needed'
        : `the name ${JSON.stringify(fullName.slice(0, 80))} may hold only A-Z a-z 0-9 - : . / _ and starts with a letter or digit`,
    )

  // §4.5.3
  const totalS = base.timeS + timeS
  const isRelative = totalS < FIRST_ABSOLUTE_S
  const timeMs = Math.round(isRelative ? nowMs + totalS * 1000 : totalS * 1000)
  if (!(timeMs >= 0 && timeMs <= LAST_TIME_MS))
    throw new PackError(
      'time',
      `the time ${totalS} s lies outside the years 1970 to 9999 (seconds, not milliseconds)`,
    )

  // §4.5.2
  return { name: fullName, unit: unit ?? base.unit, value, sum, timeMs, isRelative }
}

/** §4.4: the version is the same in all records of a pack; a larger one than understood must not be used. */
function readVersion(version: number, index: number, base: Base): void {
  if (!Number.isInteger(version) || version < 1)
    throw new PackError('not-senml', 'bver must be a positive whole number')
  if (!understandsVersion(version))
    throw new PackError(
      'not-senml',
      `SenML version ${version} is not understood (10, and 26 with secondary units, are)`,
    )
  if (index > 0 && version !== base.version)
    throw new PackError('not-senml', 'records of one pack have different versions')
  base.version = version
}

function number(label: string, field: unknown): number {
  if (typeof field !== 'number' || !Number.isFinite(field))
    throw new PackError('not-senml', `${label} must be a finite number`)
  return field
}

function text(label: string, field: unknown): string {
  if (typeof field !== 'string') throw new PackError('not-senml', `${label} must be text`)
  return field
}
