/** Something fetched from the hub: loading, ready or failed; what was ready stays on the page while it reloads. */
import { type ReadonlySignal, signal } from '@preact/signals'
import { isAborted } from '../api/client.js'

export interface Loaded<T> {
  /** the last good answer; null before the first */
  readonly value: T | null
  /** why the last attempt failed; null when it did not */
  readonly failure: unknown
  readonly isLoading: boolean
}

export interface Resource<T> {
  readonly state: ReadonlySignal<Loaded<T>>
  /** Fetches anew; a newer call overtakes an older one. Resolves when the newest has settled, never rejects. */
  reload(): Promise<void>
  /** Changes the value in place, e.g. with what a live event brought. */
  amend(change: (value: T) => T): void
  /** Back to nothing, e.g. on another garden. */
  clear(): void
}

export function resource<T>(load: (signal: AbortSignal) => Promise<T>): Resource<T> {
  const nothing: Loaded<T> = { value: null, failure: null, isLoading: false }
  const state = signal<Loaded<T>>(nothing)
  let running: AbortController | null = null
  let latest = Promise.resolve()

  async function fetchAnew(): Promise<void> {
    running?.abort()
    const mine = new AbortController()
    running = mine
    state.value = { ...state.peek(), isLoading: true }
    try {
      const value = await load(mine.signal)
      if (running === mine) state.value = { value, failure: null, isLoading: false }
    } catch (failure) {
      if (running === mine && !isAborted(failure))
        state.value = { ...state.peek(), failure, isLoading: false }
    }
    // overtaken: whoever waits for an answer waits for the newer one
    if (running !== mine) await latest
  }

  return {
    state,
    reload() {
      latest = fetchAnew()
      return latest
    },
    amend(change) {
      const { value } = state.peek()
      if (value !== null) state.value = { ...state.peek(), value: change(value) }
    },
    clear() {
      running?.abort()
      running = null
      latest = Promise.resolve()
      state.value = nothing
    },
  }
}
