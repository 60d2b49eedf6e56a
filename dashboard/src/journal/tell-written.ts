/** Says what was written, with the way back; and what the hub refused, with the ways on. */
import { itemNow } from '../outbox/outbox.js'
import { type Handed, removeEntry, throwAway } from './journal-send.js'
import { hush, orTell, setOpenForm, tell, told } from './open-form.js'

/** So long a refusal stays in sight, ms: it wants an answer. */
const REFUSED_MS = 300_000

/** @param seq  of the item that the hub refused */
export const throwRefusedAway = (seq: number): Promise<void> =>
  orTell('Not thrown away', async () => {
    const item = itemNow(seq)
    if (item !== null) await throwAway(item)
    if (told.peek()?.isTrouble) hush()
  })

const undo = (id: string): Promise<void> =>
  orTell('Not undone', async () => {
    await removeEntry(id)
    tell('Undone.')
  })

export function tellWritten({ id, seq, refusal }: Handed, text: string): void {
  if (refusal === null)
    tell(text, {
      ways: [
        { label: 'Undo', run: () => void undo(id) },
        { label: 'Edit', run: () => setOpenForm({ of: 'entry', id }) },
      ],
    })
  else
    tell(`Not taken: ${refusal.message}.`, {
      isTrouble: true,
      ways: [
        { label: 'Mend it', run: () => setOpenForm({ of: 'entry', id }) },
        { label: 'Throw it away', run: () => void throwRefusedAway(seq) },
      ],
      forMs: REFUSED_MS,
    })
}
