/** Sends what waits, one after the other, each until the hub has answered. Without the page: a worker runs it as well. */
import { nextToSend, type OutboxItem, type StopReason, settledBy, type Verdict } from './outbox-item.js'
import type { OutboxStore } from './outbox-store.js'

export interface RunPorts {
  readonly store: OutboxStore
  send(item: OutboxItem): Promise<Verdict>
  nowMs(): number
  /** something changed in the list */
  onChange(): void
}

export interface RoundEnd {
  /** why nothing more can be sent at present; null: all was sent that could be */
  readonly stopped: StopReason | null
  /** some were put off by the hub */
  readonly isSomePutOff: boolean
  /** how many the hub took */
  readonly taken: number
}

/** One round. Never two at a time: see one-at-a-time.ts. */
export async function sendWaiting({ store, send, nowMs, onChange }: RunPorts): Promise<RoundEnd> {
  const aside = new Set<string>()
  let taken = 0
  for (;;) {
    // read anew each time: what was undone meanwhile is not sent
    const item = nextToSend(await store.all(), nowMs(), aside)
    if (item === null) return { stopped: null, isSomePutOff: aside.size > 0, taken }
    if (!(await store.update(item.seq, { isTried: true }))) continue
    const verdict = await send(item)
    switch (verdict.kind) {
      case 'done':
        taken++
        await store.remove(settledBy(item, await store.all()))
        break
      case 'refused':
        await store.update(item.seq, { refusal: verdict.refusal })
        break
      case 'later':
        aside.add(item.entry)
        break
      case 'stop':
        return { stopped: verdict.why, isSomePutOff: true, taken }
    }
    onChange()
  }
}
