/** What is asked for each kind of entry, and how typed text becomes an entry. Pure. */
import type { Firmness, JournalInput, JournalKind } from '../../../shared/api/journal.js'
import { isDate } from '../../../shared/local-time.js'
import { type LengthUnit, POUND_KG } from '../format/lengths.js'
import { INCH_MM } from './journal-words.js'

export type FieldName = 'plants' | 'firmness' | 'stemMm' | 'weightKg' | 'diameterMm' | 'what'

const FIELDS: Readonly<Record<JournalKind, readonly FieldName[]>> = {
  sown: ['plants', 'what'],
  'pricked-out': ['plants', 'what'],
  'hardened-off': [],
  'planted-out': ['plants'],
  fed: ['what'],
  watered: ['what'],
  weeded: [],
  netted: ['what'],
  'net-off': [],
  emerged: [],
  'first-leaves': [],
  'pests-seen': ['what', 'plants'],
  'stem-thickness': ['stemMm'],
  'heads-started': ['plants'],
  firmness: ['firmness', 'diameterMm'],
  split: ['plants', 'diameterMm'],
  bolted: ['plants'],
  lost: ['plants', 'what'],
  cut: ['plants', 'weightKg', 'diameterMm'],
  note: [],
}

export const fieldsOf = (kind: JournalKind): readonly FieldName[] => FIELDS[kind]

/** Nothing more need be said: one touch writes it, with today's date. */
const ONE_TOUCH: ReadonlySet<JournalKind> = new Set([
  'sown',
  'pricked-out',
  'hardened-off',
  'planted-out',
  'fed',
  'watered',
  'weeded',
  'netted',
  'net-off',
  'emerged',
  'first-leaves',
  'heads-started',
])

export const isOneTouch = (kind: JournalKind): boolean => ONE_TOUCH.has(kind)

/** May be of a whole bed or of the garden; all else is of a planting. */
const WITHOUT_PLANTING: ReadonlySet<JournalKind> = new Set([
  'fed',
  'watered',
  'weeded',
  'netted',
  'net-off',
  'pests-seen',
  'note',
])

export const needsPlanting = (kind: JournalKind): boolean => !WITHOUT_PLANTING.has(kind)

/** What the field for `what` asks. */
export function whatLabel(kind: JournalKind): string {
  switch (kind) {
    case 'sown':
    case 'pricked-out':
      return 'Into what'
    case 'fed':
      return 'With what feed'
    case 'watered':
      return 'How much, or how'
    case 'netted':
      return 'With what net'
    case 'pests-seen':
      return 'Which pests'
    case 'lost':
      return 'To what'
    default:
      return 'What'
  }
}

type Typed = Readonly<Record<string, string>>

const shown = (value: number, decimals: number): string => String(Number(value.toFixed(decimals)))

/** A figure for its field, in the reader's measure: weight in kg or lb, a head in cm or in, a stem in mm or in. */
function textOf(field: FieldName | 'note', entry: Partial<JournalInput>, unit: LengthUnit): string {
  const value = entry[field]
  if (value === null || value === undefined) return ''
  if (typeof value === 'string') return value
  const isMetric = unit === 'm'
  switch (field) {
    case 'weightKg':
      return isMetric ? shown(value, 3) : shown(value / POUND_KG, 3)
    case 'diameterMm':
      return isMetric ? shown(value / 10, 2) : shown(value / INCH_MM, 2)
    case 'stemMm':
      return isMetric ? shown(value, 2) : shown(value / INCH_MM, 3)
    default:
      return String(value)
  }
}

/** An entry as it stands in its form. */
export function typedOf(entry: Partial<JournalInput> & { readonly on: string }, unit: LengthUnit): Typed {
  return {
    on: entry.on,
    plants: textOf('plants', entry, unit),
    firmness: entry.firmness ?? '',
    stemMm: textOf('stemMm', entry, unit),
    weightKg: textOf('weightKg', entry, unit),
    diameterMm: textOf('diameterMm', entry, unit),
    what: textOf('what', entry, unit),
    note: textOf('note', entry, unit),
  }
}

export interface FieldFault {
  readonly field: string
  readonly message: string
}

interface ReadEntry {
  readonly input: JournalInput
  /** empty: it can be sent */
  readonly faults: readonly FieldFault[]
}

export const FIRMNESS: readonly Firmness[] = ['soft', 'giving', 'firm']

/**
 * Typed text into an entry. A figure that was not touched stays what it was, however it was rounded to be shown.
 *
 * @param before  the entry as it was; null: a new one
 */
export function readTyped(
  kind: JournalKind,
  typed: Typed,
  place: Pick<JournalInput, 'planting' | 'bed'>,
  unit: LengthUnit,
  before: Partial<JournalInput> | null,
): ReadEntry {
  const faults: FieldFault[] = []
  const was = before === null ? null : typedOf({ on: '', ...before }, unit)
  const asked = fieldsOf(kind)

  const number = (field: 'plants' | 'stemMm' | 'weightKg' | 'diameterMm', per: number): number | null => {
    if (!asked.includes(field)) return null
    const text = (typed[field] ?? '').trim()
    if (text === '') return null
    if (was !== null && text === was[field]) return before?.[field] ?? null
    const plain = text.replace(',', '.').replace('\u2212', '-')
    if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) {
      faults.push({ field, message: 'write a number, e.g. 1.2' })
      return null
    }
    const value = Number(plain)
    if (value <= 0) faults.push({ field, message: 'must be more than 0' })
    if (field === 'plants' && !Number.isInteger(value)) faults.push({ field, message: 'give a whole number' })
    return field === 'plants' ? value : Number((value * per).toPrecision(6))
  }
  const text = (field: 'what' | 'note'): string | null => {
    const value = (typed[field] ?? '').trim()
    return value === '' ? null : value
  }

  const isMetric = unit === 'm'
  const on = typed.on ?? ''
  if (!isDate(on)) faults.push({ field: 'on', message: 'choose a date' })
  const input: JournalInput = {
    kind,
    on,
    ...place,
    plants: number('plants', 1),
    firmness: asked.includes('firmness') ? (FIRMNESS.find((felt) => felt === typed.firmness) ?? null) : null,
    stemMm: number('stemMm', isMetric ? 1 : INCH_MM),
    weightKg: number('weightKg', isMetric ? 1 : POUND_KG),
    diameterMm: number('diameterMm', isMetric ? 10 : INCH_MM),
    what: asked.includes('what') ? text('what') : null,
    note: text('note'),
  }
  if (kind === 'firmness' && input.firmness === null)
    faults.push({ field: 'firmness', message: 'say how it felt' })
  if (kind === 'stem-thickness' && input.stemMm === null && !faults.some((f) => f.field === 'stemMm'))
    faults.push({ field: 'stemMm', message: 'give the thickness that you measured' })
  if (kind === 'note' && input.note === null) faults.push({ field: 'note', message: 'write the note' })
  return { input, faults }
}
