/** What is typed into a node, ready to be copied, with an example of what it sends. */
import { useState } from 'preact/hooks'
import type { NewNodeCredential, NodeConnection } from '../../../shared/api/access.js'
import { call, failureText } from '../api/client.js'
import { SettingsTable } from '../nodes/settings-table.js'
import { CopyButton } from '../parts/copy-button.js'
import { Trouble } from '../parts/trouble.js'
import { gardenId, inGarden } from '../state/garden.js'
import { EXAMPLE_PACK, isThisMachine, publishLine, settingRows } from './node-settings.js'
import { keepLogin, toldLogins } from './told-logins.js'

/** Where the password was told earlier, and this page knows it no more. */
function NewPassword({ connection }: { readonly connection: NodeConnection }) {
  const [trouble, setTrouble] = useState<string | null>(null)
  async function make(): Promise<void> {
    try {
      keepLogin(await call<NewNodeCredential>('POST', inGarden(`/nodes/${connection.node}/credential`)))
      setTrouble(null)
    } catch (error) {
      setTrouble(failureText(error))
    }
  }
  return (
    <div class="beside">
      <p>
        {connection.passwordMadeAt === null
          ? 'It has no password yet.'
          : 'Its password was shown once, when it was made. If it is in the node, all is well; if it is lost, make another.'}
      </p>
      <button type="button" onClick={() => void make()}>
        {connection.passwordMadeAt === null ? 'Make its password' : 'Make another password'}
      </button>
      <Trouble text={trouble} />
    </div>
  )
}

/** What to mind with this broker: where it listens, what is encrypted, who gives out logins. */
function Notes({ connection, host }: { readonly connection: NodeConnection; readonly host: string }) {
  const { isReachable, isTls, password } = connection
  return (
    <>
      {password === 'elsewhere' && (
        <p>
          This hub listens to a broker of your own: give the node a user name and a password there, with the
          right to publish to this topic.
        </p>
      )}
      {password === 'none' && (
        <p>This hub takes readings from every program on its machine, without a password.</p>
      )}
      {!isReachable && (
        <p class="hint">
          The hub takes readings from its own machine only. To let nodes reach it, set{' '}
          <code>HEARTING_MQTT_HOST=0.0.0.0</code> and start it anew; what is told here stays.
        </p>
      )}
      {isReachable && isThisMachine(host) && (
        <p class="hint">
          “{host}” is how this machine calls itself: into the node type the hub’s name or address on your
          network.
        </p>
      )}
      {isTls ? (
        <p class="hint">
          The broker speaks TLS only: the node must trust its certificate. AUTHORITY.pem stands for the
          certificate of whoever signed it.
        </p>
      ) : (
        password === 'own' &&
        isReachable && (
          <p class="hint">
            The password crosses your network unencrypted: fine inside the house, not across the internet.
          </p>
        )
      )}
    </>
  )
}

export function SettingsToCopy({ connection }: { readonly connection: NodeConnection }) {
  const login = toldLogins.value.get(connection.node) ?? null
  const rows = settingRows(connection, login, location.hostname, gardenId.value)
  const line = publishLine(connection, login, location.hostname, gardenId.value)
  const host = connection.host ?? location.hostname
  return (
    <section class="to-copy told-once" aria-labelledby="to-copy-heading">
      <h3 id="to-copy-heading">Type this into the node</h3>
      <SettingsTable rows={rows} />
      {login !== null && (
        <p>The password is shown this once: when this page is closed, nobody knows it but the node.</p>
      )}
      {login === null && connection.password === 'own' && <NewPassword connection={connection} />}
      <CopyButton text={rows.map(([name, value]) => `${name}: ${value}`).join('\n')} what="the settings" />
      <Notes connection={connection} host={host} />
      <p>
        By MQTT, one SenML pack (RFC 8428) a message; names and units as here, any of them may be left out:
      </p>
      <pre>{EXAMPLE_PACK}</pre>
      <details>
        <summary>Try it without a node, from a shell</summary>
        <pre>{line}</pre>
        <CopyButton text={line} what="the command" />
        <p class="hint">
          With the client of any MQTT broker; this one comes with Mosquitto. What it sends is a reading like
          any other, and stays in the record: use figures that are true.
        </p>
      </details>
    </section>
  )
}
