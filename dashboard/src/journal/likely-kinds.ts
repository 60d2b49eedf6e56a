/** Which entries are likely now: by what was written so far, by the dates, and by the stage. Pure. */
import type { Planting } from '../../../shared/api/garden.js'
import type { JournalKind } from '../../../shared/api/journal.js'
import { ALL_KINDS } from './journal-words.js'
import { needsPlanting } from './kind-fields.js'

export interface PlantingNow {
  readonly planting: Pick<Planting, 'sownOn' | 'plantedOutOn' | 'finishedOn'>
  /** is it usually sown where it stays? */
  readonly isSownInPlace: boolean
  /** kinds in the journal of this planting, oldest first */
  readonly written: readonly JournalKind[]
  /** as the hub has it from degree days; null where it cannot be asked */
  readonly stage: string | null
  /** the garden's date */
  readonly today: string
}

/** Stages of the hub's from which on there is something to feel and to cut. */
const LATE_STAGES: ReadonlySet<string> = new Set(['heading', 'ready', 'finished'])

const isPast = (date: string | null, today: string): boolean => date !== null && date <= today

/** Is the net on, as the journal has it? */
function isNetted(written: readonly JournalKind[]): boolean {
  return written.lastIndexOf('netted') > written.lastIndexOf('net-off')
}

/** The likely ones of a planting, likeliest first. */
export function likelyKinds(now: PlantingNow): readonly JournalKind[] {
  const { planting, written, stage, today, isSownInPlace } = now
  const has = (kind: JournalKind): boolean => written.includes(kind)
  const isSown = isPast(planting.sownOn, today) || has('sown')
  const isOut = isPast(planting.plantedOutOn, today) || has('planted-out')
  const net: JournalKind = isNetted(written) ? 'net-off' : 'netted'
  if (isPast(planting.finishedOn, today)) return ['note', 'cut']
  if (!isSown && !isOut) return ['sown', 'planted-out', 'watered', 'note']
  if (!isOut && !isSownInPlace) {
    const young: JournalKind[] = []
    if (!has('emerged')) young.push('emerged')
    else if (!has('first-leaves')) young.push('first-leaves')
    else if (!has('pricked-out')) young.push('pricked-out')
    return [...young, 'watered', 'fed', has('hardened-off') ? 'planted-out' : 'hardened-off', ...rest(young)]
  }
  const isHeading = has('heads-started') || has('firmness') || has('cut') || LATE_STAGES.has(stage ?? '')
  if (!isHeading)
    return [
      ...(isSownInPlace && !isOut && !has('emerged') ? (['emerged'] as const) : []),
      'watered',
      'fed',
      'weeded',
      net,
      'pests-seen',
      'heads-started',
      'stem-thickness',
    ]
  return [
    ...(has('heads-started') ? [] : (['heads-started'] as const)),
    'firmness',
    'cut',
    'watered',
    'fed',
    net,
    'pests-seen',
    'split',
  ]
}

const rest = (young: readonly JournalKind[]): JournalKind[] =>
  young.includes('pricked-out') ? ['planted-out', 'lost'] : ['pricked-out', 'lost']

/** Of a whole bed, or of the garden. */
export const OF_BED: readonly JournalKind[] = [
  'watered',
  'fed',
  'weeded',
  'netted',
  'net-off',
  'pests-seen',
  'note',
]

/** All others that can be written of it, in the order of a season. */
export const otherKinds = (likely: readonly JournalKind[], hasPlanting: boolean): readonly JournalKind[] =>
  ALL_KINDS.filter((kind) => !likely.includes(kind) && (hasPlanting || !needsPlanting(kind)))
