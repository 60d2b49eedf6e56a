/** Removing something asks once more, in place, and says why when the hub will not. */
import { useState } from 'preact/hooks'
import { ApiFailure, failureText } from '../api/client.js'
import { mayChange } from '../state/access.js'

interface RemoveButtonProps {
  /** what goes, e.g. 'the bed East bed' */
  readonly what: string
  onRemove(): Promise<void>
  /** where the hub will not because other things hang on it: removing those too */
  readonly withAll?: { readonly label: string; remove(): Promise<void> }
}

export function RemoveButton({ what, onRemove, withAll }: RemoveButtonProps) {
  const [isAsking, setAsking] = useState(false)
  const [trouble, setTrouble] = useState<string | null>(null)
  const [isHeld, setHeld] = useState(false)

  async function remove(how: () => Promise<void>): Promise<void> {
    try {
      await how()
    } catch (error) {
      setTrouble(failureText(error))
      setHeld(error instanceof ApiFailure && error.problem?.code === 'STILL_USED')
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
        {isHeld && withAll !== undefined && (
          <>
            {' '}
            <button type="button" onClick={() => void remove(withAll.remove)}>
              {withAll.label}
            </button>
          </>
        )}
      </span>
    )
  return (
    <span class="asking">
      Really remove {what}?{' '}
      <button type="button" onClick={() => void remove(onRemove)}>
        Yes, remove
      </button>{' '}
      <button type="button" class="plain" onClick={() => setAsking(false)}>
        Keep
      </button>
    </span>
  )
}
