/** What nodes sign in with: each its own name and password, told once and taken back at any time. */
import { useEffect, useState } from 'preact/hooks'
import type { NewNodeCredential, NodeCredential } from '../../../shared/api/access.js'
import { ApiFailure, call, get } from '../api/client.js'
import { dayMonthYear } from '../format/local-clock.js'
import { FormFrame, TextField } from '../garden/fields.js'
import { RemoveButton } from '../garden/remove-button.js'
import { slugOf } from '../garden/slug.js'
import { FieldProblem, textIn, useForm } from '../garden/use-form.js'
import { Failure } from '../parts/failure.js'
import { inGarden } from '../state/garden.js'
import { resource } from '../state/resource.js'
import { SettingsTable } from './settings-table.js'

const credentials = resource<NodeCredential[]>((signal) => get(inGarden('/node-credentials'), signal))

/** What is typed into the node. */
function Told({ credential }: { readonly credential: NewNodeCredential }) {
  const rows = [
    ['host', location.hostname],
    ['port', `${credential.mqttPort}${credential.isTls ? ' (TLS)' : ''}`],
    ['user name', credential.username],
    ['password', credential.password],
    ['topic', credential.readingsTopic],
  ] as const
  return (
    <div class="told-once" role="status">
      <p>Type this into the node. The password is shown this once.</p>
      <SettingsTable rows={rows} />
      {!credential.isReachable && (
        <p class="hint">
          The hub takes readings from its own machine only. To let nodes reach it, set{' '}
          <code>HEARTING_MQTT_HOST=0.0.0.0</code> and start it anew.
        </p>
      )}
      {!credential.isTls && credential.isReachable && (
        <p class="hint">
          The password crosses your network unencrypted: fine inside the house, not across the internet.
        </p>
      )}
    </div>
  )
}

export function NodeCredentials() {
  const [told, setTold] = useState<NewNodeCredential | null>(null)
  const form = useForm('credential.new', { node: '' })
  const { value: known, failure } = credentials.state.value
  useEffect(() => void credentials.reload(), [])

  async function send(values: Readonly<Record<string, string>>): Promise<void> {
    const name = textIn(values, 'node')
    const node = slugOf(name, [], '')
    if (node === '') throw new FieldProblem('node', 'use letters or digits')
    setTold(await call<NewNodeCredential>('POST', inGarden(`/nodes/${node}/credential`)))
    await credentials.reload()
  }

  if (failure instanceof ApiFailure && failure.problem?.code === 'BROKER_ELSEWHERE')
    return (
      <section class="how-to" aria-labelledby="credentials-heading">
        <h3 id="credentials-heading">Which nodes may publish</h3>
        <p>
          This hub takes readings from a broker beside it. Nodes get their user names and passwords there.
        </p>
      </section>
    )
  return (
    <section class="how-to" aria-labelledby="credentials-heading">
      <h3 id="credentials-heading">Which nodes may publish</h3>
      {failure !== null && <Failure failure={failure} onRetry={() => void credentials.reload()} />}
      <ul class="history">
        {(known ?? []).map((credential) => (
          <li key={credential.node}>
            <code>{credential.node}</code>, since {dayMonthYear(credential.madeAt.slice(0, 10))}{' '}
            <RemoveButton
              what={`the password of ${credential.node}, cutting it off at once`}
              onRemove={async () => {
                await call('DELETE', inGarden(`/nodes/${credential.node}/credential`))
                await credentials.reload()
              }}
            />
          </li>
        ))}
      </ul>
      {told !== null && <Told credential={told} />}
      <FormFrame
        form={form}
        label="A password for a node"
        submitLabel="Make its password"
        onSubmit={() => void form.submit(send)}
      >
        <TextField
          form={form}
          name="node"
          label="The node’s own name"
          hint="Small letters, digits and hyphens, e.g. wren. One that has a password already gets a new one in its place."
          isRequired
        />
      </FormFrame>
    </section>
  )
}
