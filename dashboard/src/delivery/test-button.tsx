/** Sends a test and says what became of it, recipient by recipient. */
import { useState } from 'preact/hooks'
import type { DeliveryChannel, TestResult } from '../../../shared/api/delivery.js'
import { call, failureText } from '../api/client.js'
import { inGarden } from '../state/garden.js'

export function TestButton({ channel }: { readonly channel: DeliveryChannel }) {
  const [isSending, setSending] = useState(false)
  const [results, setResults] = useState<readonly TestResult[]>([])
  const [trouble, setTrouble] = useState<string | null>(null)

  async function send(): Promise<void> {
    setSending(true)
    setTrouble(null)
    try {
      setResults(await call<TestResult[]>('POST', inGarden('/delivery/test'), { channel }))
    } catch (error) {
      setTrouble(failureText(error))
    } finally {
      setSending(false)
    }
  }

  return (
    <>
      <button type="button" disabled={isSending} onClick={() => void send()}>
        {isSending ? 'Sending …' : 'Send a test'}
      </button>
      <div role="status">
        {results.length > 0 && (
          <ul class="history">
            {results.map(({ target, isSent, outcome }) => (
              <li key={target} class={isSent ? '' : 'problem'}>
                <span class="address">{target}</span>: {outcome}
              </li>
            ))}
          </ul>
        )}
      </div>
      {trouble !== null && (
        <span class="problem" role="alert">
          {trouble}
        </span>
      )}
    </>
  )
}
