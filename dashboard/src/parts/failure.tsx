/** Something could not be shown: what happened, what still holds, what to do. */
import { ApiFailure, failureText } from '../api/client.js'

interface FailureProps {
  readonly failure: unknown
  onRetry(): void
}

function remedy(failure: unknown): string {
  if (!(failure instanceof ApiFailure)) return 'Trying again may help; if not, reload the page.'
  switch (failure.kind) {
    case 'unreachable':
      return 'Is it running, and is this device on the garden’s network? Readings wait in the nodes and are not lost.'
    case 'refused':
      return 'Trying again may help.'
    case 'broken':
      return 'The hub’s log says more. Trying again may help.'
  }
}

export function Failure({ failure, onRetry }: FailureProps) {
  return (
    <div class="failure" role="alert">
      <p>
        <b>{failureText(failure)}</b> {remedy(failure)}
      </p>
      <button type="button" onClick={onRetry}>
        Try again
      </button>
    </div>
  )
}
