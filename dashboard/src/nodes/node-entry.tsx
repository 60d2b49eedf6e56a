/** One node: who it is, how it is, what it measured last, and what it got wrong. */
import type { NodeStatus } from '../../../shared/api/measurements.js'
import { call } from '../api/client.js'
import { ageInWords } from '../format/durations.js'
import { dateAndClock } from '../format/local-clock.js'
import { FormFrame, TextField } from '../garden/fields.js'
import { textIn, useForm } from '../garden/use-form.js'
import { bedPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { bedName, gardenId, inGarden, nodes, timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { LatestTable } from './latest-table.js'
import { RefusedPacks } from './refused-packs.js'

const PRESENCE_WORDS = {
  awake: 'awake',
  asleep: 'asleep between reports',
  gone: 'gone: its connection broke off without a word',
} as const

function NameForm({ node }: { readonly node: NodeStatus }) {
  const form = useForm(`node.${node.id}`, { name: node.name ?? '' })
  const send = async (values: Readonly<Record<string, string>>): Promise<void> => {
    await call('PUT', inGarden(`/nodes/${node.id}`), { name: textIn(values, 'name') })
    await nodes.reload()
  }
  return (
    <FormFrame
      form={form}
      label={`Name of node ${node.id}`}
      submitLabel={node.name === null ? 'Name it' : 'Rename it'}
      onSubmit={() => void form.submit(send)}
    >
      <TextField form={form} name="name" label="Name" isRequired />
    </FormFrame>
  )
}

function lastSeen(node: NodeStatus): string {
  if (node.lastSeen === null) return 'never heard'
  const seenMs = Date.parse(node.lastSeen)
  return `heard ${ageInWords(nowMs.value - seenMs)} (${dateAndClock(seenMs, timeZone.value, clockStyle.value)})`
}

export function NodeEntry({ node }: { readonly node: NodeStatus }) {
  const presence = node.presence === null ? null : PRESENCE_WORDS[node.presence]
  return (
    <article class="node" data-node={node.id}>
      <h3>{node.name ?? node.id}</h3>
      <p class="sub">
        {lastSeen(node)}
        {presence !== null && ` · ${presence}`}
        {' · '}
        {node.bed === null ? (
          <>
            stands in no bed
            {mayChange.value && (
              <>
                , <a href="/garden">say where</a>
              </>
            )}
          </>
        ) : (
          <>
            stands in <a href={bedPath(node.bed)}>{bedName(node.bed)}</a>
          </>
        )}
      </p>
      {node.name === null && <p>Nobody has named this node yet.</p>}
      <LatestTable node={node} />
      <RefusedPacks refusals={node.refusals} />
      <details open={node.name === null && mayChange.value}>
        <summary>{!mayChange.value ? 'Topic' : node.name === null ? 'Name it' : 'Name and topic'}</summary>
        <NameForm node={node} />
        <p>
          It publishes to{' '}
          <code>
            gardens/{gardenId.value}/nodes/{node.id}/readings
          </code>
        </p>
      </details>
    </article>
  )
}
