/**
 * The outbox of this page: what is put in is kept by the browser first and sent then; sending is tried again when the
 * connection comes back, when the page is looked at, after a growing while, and at the next start.
 */
import { computed, effect, signal } from '@preact/signals'
import { line } from '../api/live.js'
import { access, isLetIn } from '../state/access.js'
import { gardenId } from '../state/garden.js'
import { waitingEntries } from '../state/waiting-entries.js'
import { indexedOutbox, type LastingOutbox } from './indexed-outbox.js'
import { oneAtATime } from './one-at-a-time.js'
import { backOffMs, heldUntilMs, type NewItem, type OutboxItem, type StopReason } from './outbox-item.js'
import { fleetingOutbox, type ItemChange, type OutboxStore } from './outbox-store.js'
import { sendWaiting } from './run-outbox.js'
import { sendItem } from './send-item.js'

interface Opened {
  readonly store: OutboxStore
  readonly lasting: LastingOutbox | null
}

const items = signal<readonly OutboxItem[]>([])
/** What waits, of the garden shown. */
export const waiting = computed(() => items.value.filter((item) => item.garden === gardenId.value))
/** Why nothing is sent at present; null: it is, or there is nothing. */
export const stopped = signal<StopReason | null>(null)
/** false: this browser forgets what waits when the page is closed */
export const isLasting = signal(true)
/** Counts what the hub took, from this tab or another: then the journal is to be read anew. */
export const takenCount = signal(0)

const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('hearting.outbox') : null

const opened: Promise<Opened> = indexedOutbox().then(
  (lasting) => ({ store: lasting, lasting }),
  () => {
    isLasting.value = false
    return { store: fleetingOutbox(), lasting: null }
  },
)

async function refresh(): Promise<void> {
  items.value = await (await opened).store.all()
  // what was refused goes nowhere by itself: the journal tells of it
  const goesOut = items.peek().filter((item) => item.refusal === null)
  waitingEntries.value = new Set(goesOut.map((item) => item.entry)).size
}

function told(): void {
  channel?.postMessage('changed')
  void refresh()
}

let failures = 0
let timer: ReturnType<typeof setTimeout> | undefined
let running: Promise<void> | null = null
let isWanted = false

function tryAgainIn(waitMs: number): void {
  clearTimeout(timer)
  timer = setTimeout(() => void sendNow(), waitMs)
}

async function round(): Promise<void> {
  const { store, lasting } = await opened
  const end = await oneAtATime(lasting, () =>
    sendWaiting({ store, send: (item) => sendItem(item, store), nowMs: Date.now, onChange: told }),
  )
  await refresh()
  if (end.taken > 0) {
    takenCount.value++
    channel?.postMessage('taken')
  }
  stopped.value = end.stopped
  // who is signed out, the page asks anew: then it shows where to sign in
  if (end.stopped === 'signed-out' && isLetIn.peek()) void access.reload()
  failures = end.stopped === null && !end.isSomePutOff ? 0 : failures + 1
  const heldMs = heldUntilMs(items.peek(), Date.now())
  const waits = [
    ...(failures > 0 ? [backOffMs(failures, Math.random())] : []),
    ...(heldMs === null ? [] : [Math.max(0, heldMs - Date.now()) + 20]),
  ]
  clearTimeout(timer)
  if (waits.length > 0) tryAgainIn(Math.min(...waits))
}

/** Sends what waits; resolves when a round that began after the call is over, never rejects. */
export function sendNow(): Promise<void> {
  if (running !== null) {
    isWanted = true
    return running
  }
  const run = async (): Promise<void> => {
    try {
      do {
        isWanted = false
        await round()
      } while (isWanted)
    } catch (error) {
      // the browser's own database failed: what was put in is kept, and must not seem lost to who wrote it
      console.error('the outbox could not be gone through:', error)
      tryAgainIn(backOffMs(++failures, Math.random()))
    } finally {
      running = null
    }
  }
  running = run()
  return running
}

/** Something happened that makes sending worth a try at once. */
function hopeful(): void {
  failures = 0
  if (items.peek().length > 0) void sendNow()
}

/** Where the browser has it, it wakes the worker to send when the page is long closed. */
async function askForWake(): Promise<void> {
  const registration = await navigator.serviceWorker?.getRegistration()
  if (registration !== undefined && 'sync' in registration) {
    const { sync } = registration
    if (
      typeof sync === 'object' &&
      sync !== null &&
      'register' in sync &&
      typeof sync.register === 'function'
    )
      await sync.register('hearting-outbox')
  }
}

/** Resolves once it is kept; sending has begun then. @throws where there is no room to keep it */
export async function put(item: NewItem, image?: Uint8Array): Promise<OutboxItem> {
  const { store, lasting } = await opened
  const kept = await store.add(item, image)
  await refresh()
  channel?.postMessage('changed')
  void sendNow()
  // permission may be denied; then the next start of the page sends
  if (lasting !== null) askForWake().catch(() => {})
  return kept
}

export async function amend(seq: number, change: ItemChange): Promise<boolean> {
  const isThere = await (await opened).store.update(seq, change)
  told()
  void sendNow()
  return isThere
}

/** What was taken out by hand: it did not go to the hub. */
const dropped = new Set<number>()
export const wasDropped = (seq: number): boolean => dropped.has(seq)

export async function drop(seqs: readonly number[]): Promise<void> {
  for (const seq of seqs) dropped.add(seq)
  await (await opened).store.remove(seqs)
  told()
  // what waited behind it may go now
  void sendNow()
}

export async function forgetIfOnlyHere(entry: string): Promise<boolean> {
  const ofIt = items.peek().filter((item) => item.entry === entry)
  const isForgotten = await (await opened).store.forgetIfOnlyHere(entry)
  if (isForgotten) for (const { seq } of ofIt) dropped.add(seq)
  told()
  return isForgotten
}

export const imageOf = async (photo: string): Promise<Uint8Array | null> => (await opened).store.image(photo)

/** The item as it stands: null when the hub has taken it. */
export const itemNow = (seq: number): OutboxItem | null =>
  items.peek().find((item) => item.seq === seq) ?? null

addEventListener('online', hopeful)
addEventListener('pageshow', hopeful)
document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'visible') hopeful()
})
channel?.addEventListener('message', (event) => {
  if (event.data === 'taken') takenCount.value++
  void refresh()
})
effect(() => {
  if (isLetIn.value) setTimeout(() => void refresh().then(hopeful), 0)
})
// the hub is back, although the network never went away
effect(() => {
  if (line.value.isOpen) setTimeout(hopeful, 0)
})
