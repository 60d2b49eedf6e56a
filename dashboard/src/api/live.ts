/**
 * The live line to the hub: server-sent events while it holds, and plain words about it while it does not. The
 * browser reconnects by itself after a broken stream but gives up after a refusal; then this does, more and more
 * slowly. Nothing is lost: on each new connection everything shown is fetched again.
 *
 * A page nobody looks at lets go of its line: browsers open about six connections to one address, so a handful of
 * forgotten tabs would otherwise keep the next one from loading at all.
 */
import { signal } from '@preact/signals'
import type { LiveEvent } from '../../../shared/api/warnings.js'
import { nowMs } from '../state/present.js'

export interface Line {
  readonly isOpen: boolean
  /** hub time when the line was last known to be open, ms; null: never */
  readonly lastOpenMs: number | null
}

export const line = signal<Line>({ isOpen: false, lastOpenMs: null })

export interface LiveHandlers {
  onEvent(event: LiveEvent): void
  /** the line is open again after a break: fetch what is shown */
  onReopened(): void
}

const FIRST_RETRY_MS = 1_000
const LAST_RETRY_MS = 15_000
/** A tab out of sight keeps its line so long, ms. */
const HIDDEN_MS = 20_000
const EVENT_NAMES: readonly LiveEvent['type'][] = ['readings', 'warning', 'garden']

/** Opens the line and keeps it open; returns what closes it for good. */
export function openLine(path: string, handlers: LiveHandlers): () => void {
  let source: EventSource | null = null
  let retryMs = FIRST_RETRY_MS
  let retry: ReturnType<typeof setTimeout> | undefined
  let hidden: ReturnType<typeof setTimeout> | undefined
  let wasOpen = false
  let isClosed = false

  function connect(): void {
    clearTimeout(retry)
    source?.close()
    const mine = new EventSource(`/api/v1${path}`)
    source = mine
    mine.onopen = () => {
      retryMs = FIRST_RETRY_MS
      line.value = { isOpen: true, lastOpenMs: nowMs.peek() }
      if (wasOpen) handlers.onReopened()
      wasOpen = true
    }
    mine.onerror = () => {
      if (line.peek().isOpen) line.value = { isOpen: false, lastOpenMs: nowMs.peek() }
      if (isClosed) return
      // the browser's own retry has no ceiling anyone agrees on: take it over
      mine.close()
      retry = setTimeout(connect, retryMs)
      retryMs = Math.min(LAST_RETRY_MS, retryMs * 2)
    }
    for (const name of EVENT_NAMES) {
      mine.addEventListener(name, (message: MessageEvent<string>) => {
        handlers.onEvent(JSON.parse(message.data) as LiveEvent)
      })
    }
  }

  function pause(): void {
    source?.close()
    clearTimeout(retry)
    line.value = { isOpen: false, lastOpenMs: nowMs.peek() }
  }

  /** A phone waking up, or a network coming back, need not wait for the timer. */
  function hurry(): void {
    if (isClosed || line.peek().isOpen) return
    retryMs = FIRST_RETRY_MS
    connect()
  }

  function onVisibility(): void {
    clearTimeout(hidden)
    if (document.visibilityState === 'visible') hurry()
    else hidden = setTimeout(pause, HIDDEN_MS)
  }

  connect()
  addEventListener('online', hurry)
  document.addEventListener('visibilitychange', onVisibility)
  return () => {
    isClosed = true
    clearTimeout(retry)
    clearTimeout(hidden)
    source?.close()
    removeEventListener('online', hurry)
    document.removeEventListener('visibilitychange', onVisibility)
  }
}
