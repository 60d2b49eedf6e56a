/** What waits in this browser and why, and whether what is shown is a copy from before. */
import { localDate } from '../../../shared/local-time.js'
import { keptCopyMs } from '../api/kept-copy.js'
import { ageInWords } from '../format/durations.js'
import { clockTime, dayMonth } from '../format/local-clock.js'
import { isLasting, sendNow, stopped, waiting } from '../outbox/outbox.js'
import type { StopReason } from '../outbox/outbox-item.js'
import { timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { byHubClock, nowMs } from '../state/present.js'
import { waitingWords } from '../state/waiting-entries.js'

const WHY: Readonly<Record<StopReason, string>> = {
  unreachable: 'The hub cannot be reached; what waits is sent as soon as it can.',
  'signed-out': 'You are signed out: sign in, and it is sent.',
  'may-not': 'You may only look at present: sign in as the owner, and it is sent.',
}

export function OutboxNotice() {
  // what is only held to be undone is not told of
  const kept = waiting.value.filter(
    (item) => item.refusal === null && byHubClock(item.holdUntilMs) <= nowMs.value,
  )
  const count = new Set(kept.map((item) => item.entry)).size
  const copyMs = keptCopyMs.value === null ? null : byHubClock(keptCopyMs.value)
  return (
    <div class="outbox" role="status">
      {copyMs !== null && (
        <p>
          <b>This is a copy</b> that this browser kept on {dayMonth(localDate(copyMs, timeZone.value))} at{' '}
          {clockTime(copyMs, timeZone.value, clockStyle.value)}, {ageInWords(nowMs.value - copyMs)}: the hub
          does not answer.
        </p>
      )}
      {count > 0 && stopped.value !== null && (
        <p>
          <b>{waitingWords(count)}</b> {WHY[stopped.value]}{' '}
          {!isLasting.value && 'This browser keeps nothing: leave this page open until then. '}
          {stopped.value === 'unreachable' && (
            <button type="button" class="plain" onClick={() => void sendNow()}>
              Try now
            </button>
          )}
        </p>
      )}
    </div>
  )
}
