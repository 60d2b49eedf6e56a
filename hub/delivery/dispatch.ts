/** Which of the deliveries due to one target go together in one message. Pure. */
import type { StoredDelivery } from '../garden/delivery-port.js'
import { grouped } from './grouped.js'
import { type LetterForm, storiesOf, type WarningStory } from './letter.js'

/** more messages of their own at a time are a flood: they go as one */
const MOST_AT_ONCE = 3

export interface Dispatch {
  readonly form: LetterForm
  readonly stories: readonly WarningStory[]
  readonly deliveries: readonly StoredDelivery[]
}

/**
 * @param due   all of one target; those of one warning always go together
 * @param most  messages that may go out now, at least 1
 */
export function dispatchesOf(
  due: readonly StoredDelivery[],
  bedNames: ReadonlyMap<string, string>,
  most: number,
): Dispatch[] {
  const byWarning = grouped(due, (d) => d.warning.id)
  const own = byWarning.filter((of) => of.some((d) => d.form === 'own'))
  const rest = byWarning.filter((of) => !of.some((d) => d.form === 'own')).flat()
  const make = (form: LetterForm, deliveries: readonly StoredDelivery[]): Dispatch => ({
    form,
    deliveries,
    stories: storiesOf(deliveries, bedNames),
  })
  const messages = own.length + (rest.length > 0 ? 1 : 0)
  if (own.length > MOST_AT_ONCE || messages > most) return [make('summary', due)]
  return [...own.map((of) => make('own', of)), ...(rest.length > 0 ? [make('digest', rest)] : [])]
}
