/** How many journal entries wait in this browser for the hub: known here without the weight of the outbox itself. */
import { signal } from '@preact/signals'

export const waitingEntries = signal(0)

/** '3 entries wait in this browser for the hub.' */
export const waitingWords = (count: number): string =>
  count === 1
    ? '1 entry waits in this browser for the hub.'
    : `${count} entries wait in this browser for the hub.`
