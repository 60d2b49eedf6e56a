/**
 * What waits for the hub: journal entries written, changed and taken back in this browser, in the order in which it was
 * done. Pure: which is to be sent next, what the hub's answer means for it, and how the journal looks with it.
 */
import type { Problem } from '../../../shared/api/garden.js'
import type { JournalInput, JournalPhoto } from '../../../shared/api/journal.js'

export type OutboxTask =
  | { readonly task: 'write' | 'change'; readonly input: JournalInput }
  | { readonly task: 'remove' }
  /** the image lies beside the list, under the photo's id */
  | { readonly task: 'photo'; readonly photo: string; readonly mediaType: JournalPhoto['mediaType'] }
  | { readonly task: 'remove-photo'; readonly photo: string }

/** The hub will not have it as it is. */
export interface Refusal {
  readonly message: string
  readonly problems: readonly { readonly field: string; readonly message: string }[]
}

export type NewItem = OutboxTask & {
  readonly garden: string
  /** id of the journal entry, made in the page */
  readonly entry: string
  /** not to be sent before: so long can it be undone */
  readonly holdUntilMs: number
}

export type OutboxItem = NewItem & {
  /** in the order in which things were done */
  readonly seq: number
  /** it has been sent at least once, and may have arrived */
  readonly isTried: boolean
  readonly refusal: Refusal | null
}

export type StopReason = 'unreachable' | 'signed-out' | 'may-not'

export type Verdict =
  /** the hub has it, or needs it no more */
  | { readonly kind: 'done' }
  | { readonly kind: 'refused'; readonly refusal: Refusal }
  /** nothing can be sent at present */
  | { readonly kind: 'stop'; readonly why: StopReason }
  /** this one later; others may be sent */
  | { readonly kind: 'later' }

const DONE: Verdict = { kind: 'done' }
const UNREACHABLE: Verdict = { kind: 'stop', why: 'unreachable' }

/** What came back: its status, and its body where that was JSON. */
export interface Answer {
  readonly status: number
  readonly body: unknown
}

function isProblem(body: unknown): body is Problem {
  return typeof body === 'object' && body !== null && 'code' in body && 'detail' in body
}

const idOf = (body: unknown): unknown =>
  typeof body === 'object' && body !== null && 'id' in body ? body.id : null

/** A guest network's own sign-in page answers everything with 'fine': only the hub's own words count. */
function isHubsYes(item: OutboxTask & { readonly entry: string }, { status, body }: Answer): boolean {
  switch (item.task) {
    case 'write':
    case 'change':
      return idOf(body) === item.entry
    case 'photo':
      return idOf(body) === item.photo
    case 'remove':
    case 'remove-photo':
      return status === 204
  }
}

/** @param answer  null: none came */
export function verdictOf(item: OutboxTask & { readonly entry: string }, answer: Answer | null): Verdict {
  if (answer === null) return UNREACHABLE
  const { status, body } = answer
  if (status < 300) return isHubsYes(item, answer) ? DONE : UNREACHABLE
  if (!isProblem(body)) return status >= 500 || status < 400 ? UNREACHABLE : { kind: 'later' }
  if (status === 401) return { kind: 'stop', why: 'signed-out' }
  if (status === 403) return { kind: 'stop', why: 'may-not' }
  if (status === 408 || status === 425 || status === 429 || status >= 500) return { kind: 'later' }
  // ids are drawn at random: one that is taken is ours, from a sending whose answer was lost
  const isThere = body.code === 'ID_TAKEN'
  const isGone = status === 410 || status === 404
  if (item.task === 'write' && (isThere || status === 410)) return DONE
  if (item.task === 'photo' && (isThere || status === 410)) return DONE
  if ((item.task === 'remove' || item.task === 'remove-photo') && isGone) return DONE
  return { kind: 'refused', refusal: { message: body.detail, problems: body.problems ?? [] } }
}

/**
 * The next to be sent: the first whose entry has nothing before it that is held, or put aside in this round, and no refused
 * words. A removal goes past those: what is taken back need not be mended first. Nor does a refused photo hold up the words.
 *
 * @param aside  entries that are left alone in this round
 */
export function nextToSend(
  items: readonly OutboxItem[],
  nowMs: number,
  aside: ReadonlySet<string> = new Set(),
): OutboxItem | null {
  const blocked = new Set(aside)
  const unmended = new Set<string>()
  for (const item of items) {
    if (blocked.has(item.entry)) continue
    if (item.refusal !== null) {
      if ('input' in item) unmended.add(item.entry)
    } else if (item.holdUntilMs > nowMs) blocked.add(item.entry)
    else if (item.task === 'remove' || !unmended.has(item.entry)) return item
  }
  return null
}

/** What is settled once the hub has taken an item: with an entry's removal, all that was to be done to it before. */
export const settledBy = (done: OutboxItem, items: readonly OutboxItem[]): readonly number[] =>
  done.task === 'remove'
    ? items.filter(({ entry, seq }) => entry === done.entry && seq <= done.seq).map(({ seq }) => seq)
    : [done.seq]

/** When the first one that is held will be due; null: none is held. */
export function heldUntilMs(items: readonly OutboxItem[], nowMs: number): number | null {
  const held = items.filter((item) => item.refusal === null && item.holdUntilMs > nowMs)
  return held.length === 0 ? null : Math.min(...held.map((item) => item.holdUntilMs))
}

/** What never left the browser for certain: a write that was not tried, or was refused. */
export const isOnlyHere = (items: readonly OutboxItem[], entry: string): boolean =>
  items.some((i) => i.entry === entry && i.task === 'write' && (!i.isTried || i.refusal !== null))

const FIRST_WAIT_MS = 2_000
const LONGEST_WAIT_MS = 300_000

/**
 * How long to wait after the n-th failure in a row (1, 2 …), ms.
 *
 * @param chance  0 to 1: two browsers must not come in step
 */
export const backOffMs = (failures: number, chance: number): number =>
  Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(failures - 1, 20)) * (0.75 + chance / 2)
