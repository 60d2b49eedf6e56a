/** Answers that the service worker kept from before and gives while the hub cannot be reached: how old they are. */
import { computed, signal } from '@preact/signals'
import { KEPT_AT_HEADER } from './kept-at-header.js'

const keptAt = signal<ReadonlyMap<string, number>>(new Map())

/** Called with each answer. */
export function noteKept(path: string, response: Response): void {
  const header = response.headers.get(KEPT_AT_HEADER)
  const known = keptAt.peek()
  if (header === null && !known.has(path)) return
  const next = new Map(known)
  if (header === null) next.delete(path)
  else next.set(path, Number(header))
  keptAt.value = next
}

/** When the oldest of the copies in use was fetched, ms; null: all is fresh. */
export const keptCopyMs = computed(() => {
  const times = [...keptAt.value.values()]
  return times.length === 0 ? null : Math.min(...times)
})
