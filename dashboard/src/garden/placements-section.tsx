/** Which node stands in which bed, since when. A node moves; what it measured before stays with the bed it stood in. */
import type { Placement } from '../../../shared/api/garden.js'
import type { NodeStatus } from '../../../shared/api/measurements.js'
import { localDate } from '../../../shared/local-time.js'
import { call } from '../api/client.js'
import { clockTime, dayMonthYear } from '../format/local-clock.js'
import { stepPath } from '../front-door/steps.js'
import { bedName, beds, inGarden, nodes, placements, timeZone, today } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { ChoiceField, FormFrame, TextField } from './fields.js'
import { FoldedItem } from './folded-item.js'
import { RemoveButton } from './remove-button.js'
import { FieldProblem, textIn, useForm } from './use-form.js'
import { fromWallTime, toWallTime } from './wall-time.js'

const NOWHERE = ''

const reloadPlaces = (): Promise<unknown> =>
  Promise.all([placements.reload(), nodes.reload(), today.reload()])

/** Ends where the node stood and begins where it stands; if the second fails, the first is taken back. */
async function move(node: string, current: Placement | null, bed: string, from: string): Promise<void> {
  const path = inGarden(`/placements/${current?.id ?? ''}`)
  if (current !== null) await call('PUT', path, { node, bed: current.bed, from: current.from, to: from })
  if (bed === NOWHERE) return
  try {
    await call('POST', inGarden('/placements'), { node, bed, from, to: null })
  } catch (error) {
    if (current !== null)
      await call('PUT', path, { node, bed: current.bed, from: current.from, to: current.to })
    throw error
  }
}

interface MoveFormProps {
  readonly node: NodeStatus
  readonly current: Placement | null
}

function MoveForm({ node, current }: MoveFormProps) {
  const zone = timeZone.value
  const form = useForm(`placement.${node.id}`, {
    name: node.name ?? node.id,
    bed: current?.bed ?? NOWHERE,
    from: toWallTime(nowMs.peek(), zone),
  })

  const send = async (values: Readonly<Record<string, string>>): Promise<void> => {
    const from = fromWallTime(textIn(values, 'from'), zone)
    if (from === null) throw new FieldProblem('from', 'give day and time')
    const bed = textIn(values, 'bed')
    if (current === null && bed === NOWHERE) throw new FieldProblem('bed', 'choose a bed')
    if (current !== null && bed === current.bed)
      throw new FieldProblem('bed', `it stands in ${bedName(bed)} already`)
    if (current !== null && Date.parse(from) <= Date.parse(current.from))
      throw new FieldProblem('from', 'it was put where it stands later than that')
    if (node.name === null) await call('PUT', inGarden(`/nodes/${node.id}`), { name: textIn(values, 'name') })
    await move(node.id, current, bed, from)
    await reloadPlaces()
  }

  return (
    <FormFrame
      form={form}
      label={`Where ${node.name ?? node.id} stands`}
      submitLabel={current === null ? 'Put it there' : 'Move it'}
      onSubmit={() => void form.submit(send)}
    >
      {node.name === null && (
        <TextField form={form} name="name" label="Name of the node" hint="It has none yet." isRequired />
      )}
      <div class="pair">
        <ChoiceField
          form={form}
          name="bed"
          label="Stands in"
          isRequired
          options={[
            { value: NOWHERE, label: 'no bed' },
            ...(beds.state.value.value ?? []).map((b) => ({ value: b.id, label: b.name })),
          ]}
        />
        <TextField
          form={form}
          name="from"
          label="Since"
          type="datetime-local"
          hint="By the garden’s clock. A time in the past is fine: its readings then count for the bed."
          isRequired
        />
      </div>
    </FormFrame>
  )
}

function History({ places }: { readonly places: readonly Placement[] }) {
  if (places.length === 0) return null
  const day = (iso: string): string => dayMonthYear(localDate(Date.parse(iso), timeZone.value))
  return (
    <ul class="history">
      {places.map((place) => (
        <li key={place.id}>
          {bedName(place.bed)}, {day(place.from)} to {place.to === null ? 'now' : day(place.to)}{' '}
          <RemoveButton
            what={`the time in ${bedName(place.bed)} from the record`}
            onRemove={async () => {
              await call('DELETE', inGarden(`/placements/${place.id}`))
              await reloadPlaces()
            }}
          />
        </li>
      ))}
    </ul>
  )
}

const stands = (place: Placement, atMs: number): boolean =>
  Date.parse(place.from) <= atMs && (place.to === null || Date.parse(place.to) > atMs)

export function PlacementsSection() {
  const known = nodes.state.value.value ?? []
  const places = placements.state.value.value ?? []
  const atMs = nowMs.value
  return (
    <section aria-labelledby="placements-heading">
      <h3 id="placements-heading">Where the nodes stand</h3>
      {known.length === 0 && (
        <p>
          No node is known yet. <a href={stepPath('node')}>Add a node</a>, with the settings to type into it.
        </p>
      )}
      {known.map((node) => {
        const own = places.filter((p) => p.node === node.id)
        const current = own.find((p) => stands(p, atMs)) ?? null
        return (
          <FoldedItem
            key={node.id}
            summary={
              <>
                <b>{node.name ?? node.id}</b>{' '}
                {current === null
                  ? 'stands in no bed: its readings count for none'
                  : `in ${bedName(current.bed)} since ${dayMonthYear(localDate(Date.parse(current.from), timeZone.value))}, ${clockTime(Date.parse(current.from), timeZone.value, clockStyle.value)}`}
              </>
            }
          >
            <MoveForm key={current?.id ?? 'none'} node={node} current={current} />
            <History places={own} />
          </FoldedItem>
        )
      })}
    </section>
  )
}
