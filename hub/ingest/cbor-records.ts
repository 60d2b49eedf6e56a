/** SenML in CBOR (RFC 8428 §6): the same records under integer labels. */
import { decode, type Token, Tokenizer } from 'cborg'
import { PackError } from './pack-error.js'
import { MOST_NESTING } from './strict-json.js'

/** RFC 8428 §6, table 4: the table is conclusive, extensions have text labels */
const LABELS: ReadonlyMap<number, string> = new Map([
  [-1, 'bver'],
  [-2, 'bn'],
  [-3, 'bt'],
  [-4, 'bu'],
  [-5, 'bv'],
  [-6, 'bs'],
  [0, 'n'],
  [1, 'u'],
  [2, 'v'],
  [3, 'vs'],
  [4, 'vb'],
  [5, 's'],
  [6, 't'],
  [7, 'ut'],
  [8, 'vd'],
])
const TEXT_LABELS: ReadonlyMap<string, number> = new Map([...LABELS].map(([n, label]) => [label, n]))

const OPTIONS = {
  useMaps: true,
  rejectDuplicateMapKeys: true,
  allowUndefined: false,
  allowInfinity: false,
  allowNaN: false,
  tags: { 4: decimalFraction },
}

/**
 * @returns whatever the bytes hold, maps as plain records with text labels
 * @throws PackError  'not-cbor': not well formed, a key twice, NaN or infinite, nested too deep, more bytes than one item
 */
export function decodeCborRecords(bytes: Uint8Array): unknown {
  let value: unknown
  try {
    value = decode(bytes, { ...OPTIONS, tokenizer: new ShallowTokenizer(bytes, OPTIONS) })
  } catch (error) {
    if (error instanceof PackError) throw error
    throw new PackError('not-cbor', error instanceof Error ? error.message : String(error))
  }
  if (!Array.isArray(value)) return value
  return value.map((record: unknown) => (record instanceof Map ? recordOf(record) : record))
}

function recordOf(map: ReadonlyMap<unknown, unknown>): Record<string, unknown> {
  const record: Record<string, unknown> = Object.create(null)
  for (const [key, value] of map) {
    if (typeof key === 'number') {
      const label = LABELS.get(key)
      // RFC 8428 §4.4: what is not recognised is ignored
      if (label !== undefined) record[label] = typeof value === 'bigint' ? Number(value) : value
    } else if (typeof key === 'string') {
      const number = TEXT_LABELS.get(key)
      if (number !== undefined)
        throw new PackError('not-senml', `in CBOR the label "${key}" is the number ${number} (RFC 8428 §6)`)
      record[key] = value
    } else throw new PackError('not-senml', 'a label is neither a number nor text')
  }
  return record
}

/** RFC 8428 §6 and RFC 8949 §3.4.4: [exponent, mantissa], read as a decimal so that it rounds only once. */
function decimalFraction(content: () => unknown): number {
  const parts = content()
  if (Array.isArray(parts) && parts.length === 2) {
    const [exponent, mantissa] = parts as [unknown, unknown]
    if (Number.isSafeInteger(exponent) && (Number.isSafeInteger(mantissa) || typeof mantissa === 'bigint')) {
      const value = Number(`${mantissa}e${exponent}`)
      if (Number.isFinite(value)) return value
    }
  }
  throw new PackError('not-cbor', 'a decimal fraction (tag 4) is not two whole numbers, or is too large')
}

/** Stops before deep nesting can exhaust the stack of the recursive decoder. */
class ShallowTokenizer extends Tokenizer {
  /** items still to come in each open container */
  private readonly open: number[] = []

  override next(): Token {
    const token = super.next()
    const { name } = token.type
    if (name === 'break') {
      this.open.pop()
      this.itemDone()
      return token
    }
    const items = name === 'array' ? token.value : name === 'map' ? token.value * 2 : name === 'tag' ? 1 : 0
    if (items > 0) {
      this.open.push(items)
      if (this.open.length > MOST_NESTING)
        throw new PackError('not-cbor', `nested more than ${MOST_NESTING} levels deep`)
    } else this.itemDone()
    return token
  }

  private itemDone(): void {
    while (this.open.length > 0) {
      const left = this.open[this.open.length - 1]! - 1
      this.open[this.open.length - 1] = left
      if (left > 0) return
      this.open.pop()
    }
  }
}
