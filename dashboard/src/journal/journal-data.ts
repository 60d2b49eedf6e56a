/** The journal of the garden shown: fetched, and what waits in this browser laid over it. */
import { computed, effect, signal } from '@preact/signals'
import type { JournalEntry } from '../../../shared/api/journal.js'
import { get } from '../api/client.js'
import { takenCount, waiting, wasDropped } from '../outbox/outbox.js'
import type { OutboxItem } from '../outbox/outbox-item.js'
import { gardenId, inGarden } from '../state/garden.js'
import { gardenChanges } from '../state/live-garden.js'
import { resource } from '../state/resource.js'
import { shownEntries } from './shown-entries.js'

export const journal = resource<JournalEntry[]>((signal) => get(inGarden('/journal'), signal))

/** Taken by the hub, and not yet in what was fetched: shown on, so that no entry blinks. */
const lingering = signal<readonly OutboxItem[]>([])

export const entries = computed(() => {
  const items = [...lingering.value, ...waiting.value].sort((a, b) => a.seq - b.seq)
  return shownEntries(journal.state.value.value ?? [], items)
})

async function reload(): Promise<void> {
  const before = lingering.peek()
  await journal.reload()
  const { failure, isLoading } = journal.state.peek()
  // overtaken by a newer question: that one's answer settles it
  if (failure === null && !isLoading)
    lingering.value = lingering.peek().filter((item) => !before.includes(item))
}

/** Fetches the journal, and again whenever it may have changed; returns what ends that. */
export function followJournal(): () => void {
  let last: readonly OutboxItem[] = waiting.peek()
  const endItems = effect(() => {
    const now = waiting.value
    const gone = last.filter(
      (item) =>
        item.garden === gardenId.peek() && !now.some((i) => i.seq === item.seq) && !wasDropped(item.seq),
    )
    last = now
    if (gone.length === 0) return
    lingering.value = [...lingering.peek(), ...gone]
    void reload()
  })
  let shownGarden: string | null = null
  const endReload = effect(() => {
    gardenChanges.value
    takenCount.value
    if (gardenId.value !== shownGarden) {
      shownGarden = gardenId.value
      lingering.value = []
      journal.clear()
    }
    void reload()
  })
  return () => {
    endItems()
    endReload()
  }
}
