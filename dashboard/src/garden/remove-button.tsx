/** Removing something asks once more, in place, and says why when the hub will not. */
import { useState } from 'preact/hooks'
import { failureText } from '../api/client.js'
import { mayChange } from '../state/access.js'

interface RemoveButtonProps {
  /** what goes, e.g. 'the bed East bed' */
  readonly what: string
  onRemove(): Promise<void>
}

export function RemoveButton({ what, onRemove }: RemoveButtonProps) {
  const [isAsking, setAsking] = useState(false)
  const [trouble, setTrouble] = useState<string | null>(null)

  async function remove(): Promise<void> {
    try {
      await onRemove()
    } catch (error) {
      setTrouble(failureText(error))
      setAsking(false)
    }
  }

  if (!mayChange.value) return null
  if (!isAsking)
    return (
      <span>
        <button type="button" class="plain" onClick={() => setAsking(true)}>
          Remove<span class="unseen"> {what}</span>
        </button>
        {trouble !== null && (
          <span class="problem" role="alert">
            {' '}
            {trouble}
          </span>
        )}
      </span>
    )
  return (
    <span class="asking">
      Really remove {what}?{' '}
      <button type="button" onClick={() => void remove()}>
        Yes, remove
      </button>{' '}
      <button type="button" class="plain" onClick={() => setAsking(false)}>
        Keep
      </button>
    </span>
  )
}
