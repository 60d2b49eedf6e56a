/** The first node: what it is called, in which bed it stands and since when; it gets its password with that. */
import type { NewNodeCredential, NodeConnection } from '../../../shared/api/access.js'
import { call, get } from '../api/client.js'
import { ChoiceField, FormFrame, TextField } from '../garden/fields.js'
import { slugOf } from '../garden/slug.js'
import { FieldProblem, textIn, useForm, type Values } from '../garden/use-form.js'
import { fromWallTime, toWallTime } from '../garden/wall-time.js'
import { bedName, beds, inGarden, nodes, placements, timeZone, today } from '../state/garden.js'
import { nowMs } from '../state/present.js'
import { keepLogin } from './told-logins.js'

const NOWHERE = ''

/** Where the node is to stand, unless it stands there already. */
async function place(node: string, bed: string, from: string): Promise<void> {
  if (bed === NOWHERE) return
  const standing = placements.state.peek().value?.find((one) => one.node === node && one.to === null)
  if (standing?.bed === bed) return
  if (standing !== undefined)
    throw new FieldProblem('bed', `it stands in ${bedName(standing.bed)}; the Garden page moves it`)
  await call('POST', inGarden('/placements'), { node, bed, from, to: null })
}

export function NodeStep({ onDone }: { onDone(node: string): void }) {
  const zone = timeZone.value
  const known = beds.state.value.value ?? []
  const form = useForm('begin.node', {
    name: '',
    bed: known[0]?.id ?? NOWHERE,
    from: toWallTime(nowMs.peek(), zone),
  })
  const id = slugOf(textIn(form.values, 'name'), [], '')
  const isKnown = (nodes.state.value.value ?? []).some((node) => node.id === id)

  const send = async (values: Values): Promise<void> => {
    const node = slugOf(textIn(values, 'name'), [], '')
    if (node === '') throw new FieldProblem('name', 'give it a name with letters or digits')
    const bed = textIn(values, 'bed')
    const from = fromWallTime(textIn(values, 'from'), zone)
    if (bed !== NOWHERE && from === null) throw new FieldProblem('from', 'give day and time')
    await call('PUT', inGarden(`/nodes/${node}`), { name: textIn(values, 'name') })
    await place(node, bed, from ?? '')
    const connection = await get<NodeConnection>(inGarden(`/nodes/${node}/connection`))
    // last of all: a new password cuts off whoever uses an earlier one
    if (connection.password === 'own')
      keepLogin(await call<NewNodeCredential>('POST', inGarden(`/nodes/${node}/credential`)))
    await Promise.all([nodes.reload(), placements.reload(), today.reload()])
    onDone(node)
  }

  return (
    <>
      <p>
        A node is the small device in a bed that measures: soil and air temperature, light. It sends what it
        measures over your own network to this hub. Give it a name; the hub makes its password.
      </p>
      <FormFrame
        form={form}
        label="A first node"
        submitLabel="Make it known"
        onSubmit={() => void form.submit(send)}
      >
        <TextField
          form={form}
          name="name"
          label="Name of the node"
          hint={
            id === ''
              ? 'As you would call it, e.g. Wren.'
              : isKnown
                ? `In addresses it is called ${id}. There is one of this name already: it gets a new password in place of its present one.`
                : `In addresses it is called ${id}.`
          }
          isRequired
        />
        {known.length > 0 ? (
          <div class="pair">
            <ChoiceField
              form={form}
              name="bed"
              label="Stands in"
              isRequired
              options={[
                ...known.map((bed) => ({ value: bed.id, label: bed.name })),
                { value: NOWHERE, label: 'no bed yet' },
              ]}
            />
            <TextField
              form={form}
              name="from"
              label="Since"
              type="datetime-local"
              hint="From now, or earlier: what it measured then counts for the bed too."
              isRequired
            />
          </div>
        ) : (
          <p class="hint">There is no bed yet for it to stand in; the Garden page places it once there is.</p>
        )}
      </FormFrame>
    </>
  )
}
