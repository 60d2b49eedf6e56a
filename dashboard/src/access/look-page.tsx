/** Coming in by a read-only link: its secret stands behind the # and so never reaches a server's log. */
import { useEffect, useState } from 'preact/hooks'
import { call, failureText } from '../api/client.js'
import { go } from '../routes.js'

export function LookPage({ onEntered }: { readonly onEntered: () => Promise<void> }) {
  const [trouble, setTrouble] = useState<string | null>(null)

  useEffect(() => {
    const secret = location.hash.slice(1)
    // out of the address at once: it should not stay in the history or be shared by accident
    history.replaceState(null, '', location.pathname)
    call('POST', '/access/look', { secret }).then(
      async () => {
        go('/')
        await onEntered()
      },
      (error) => setTrouble(failureText(error)),
    )
  }, [])

  return (
    <main class="door" id="page">
      <h1>Garden almanac</h1>
      {trouble === null ? (
        <p>Opening the almanac to look at …</p>
      ) : (
        <div role="alert">
          <p>
            <b>This link does not open anything.</b> {trouble}
          </p>
          <p>
            Ask whoever gave it to you for another, or <a href="/">sign in as the owner</a>.
          </p>
        </div>
      )}
    </main>
  )
}
