/** What the grower saw of the planting, entered with one tap: the later stages are set right by it. */
import { useState } from 'preact/hooks'
import type { Observation, Seen } from '../../../shared/api/progress.js'
import { isDate } from '../../../shared/local-time.js'
import { call, failureText } from '../api/client.js'
import { dayMonthYear } from '../format/local-clock.js'
import { RemoveButton } from '../garden/remove-button.js'
import { mayChange } from '../state/access.js'
import { plantingApi } from './planting-data.js'
import { SEEN, seenWords } from './planting-words.js'

const OF_SEEDLINGS: readonly Seen[] = ['emerged', 'first-leaves']

interface SeenSectionProps {
  readonly planting: string
  /** what the crop forms: head, curd, leaves … */
  readonly forms: string
  /** its emergence was seen elsewhere, if at all */
  readonly isPlantedOut: boolean
  readonly today: string
  readonly observations: readonly Observation[]
  onChanged(): Promise<void>
}

export function SeenSection({
  planting,
  forms,
  isPlantedOut,
  today,
  observations,
  onChanged,
}: SeenSectionProps) {
  const [date, setDate] = useState<string | null>(null)
  const [sending, setSending] = useState<Seen | null>(null)
  const [told, setTold] = useState<{ readonly text: string; readonly isTrouble: boolean } | null>(null)
  const on = date ?? today
  const missing = SEEN.filter(
    (seen) => !observations.some((o) => o.seen === seen) && !(isPlantedOut && OF_SEEDLINGS.includes(seen)),
  )

  async function see(seen: Seen): Promise<void> {
    setSending(seen)
    try {
      await call('POST', plantingApi(planting, '/observations'), { seen, on, note: null })
      setTold({ text: `Noted: ${seenWords(seen, forms)}, ${dayMonthYear(on)}.`, isTrouble: false })
      setDate(null)
      await onChanged()
    } catch (error) {
      setTold({ text: `Not noted: ${failureText(error)}`, isTrouble: true })
    } finally {
      setSending(null)
    }
  }

  return (
    <section class="planting-part" aria-label="What you saw">
      <h3>What you saw</h3>
      {observations.length === 0 && (
        <p>Nothing noted yet. What you saw sets the stages right, and the dates to come with them.</p>
      )}
      {observations.length > 0 && (
        <ul class="seen">
          {observations.map((o) => (
            <li key={o.id}>
              {dayMonthYear(o.on)}: {seenWords(o.seen, forms)}
              {o.note !== null && `, “${o.note}”`}{' '}
              <RemoveButton
                what={`“${seenWords(o.seen, forms)}”`}
                onRemove={async () => {
                  await call('DELETE', plantingApi(planting, `/observations/${encodeURIComponent(o.id)}`))
                  setTold(null)
                  await onChanged()
                }}
              />
            </li>
          ))}
        </ul>
      )}
      {mayChange.value && (
        <>
          <div class="seen-buttons">
            {missing.map((seen) => (
              <button key={seen} type="button" disabled={sending !== null} onClick={() => void see(seen)}>
                {seenWords(seen, forms)}
              </button>
            ))}
          </div>
          <p class="seen-date">
            <label>
              seen on{' '}
              <input
                type="date"
                value={on}
                max={today}
                onInput={(event) => {
                  if (isDate(event.currentTarget.value)) setDate(event.currentTarget.value)
                }}
              />
            </label>{' '}
            {on === today && <span class="aside">today</span>}
          </p>
        </>
      )}
      <p
        role={told?.isTrouble === true ? 'alert' : 'status'}
        class={told?.isTrouble === true ? 'problem' : 'aside'}
      >
        {told?.text ?? ''}
      </p>
    </section>
  )
}
