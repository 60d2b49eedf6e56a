/** Drawing what stands around a bed: a fence, wall or hedge of a height, so far away, in a direction. */
import type { BedSkyline, SkylineFence } from '../../../shared/api/sun.js'
import { compassPoint } from '../../../shared/compass.js'
import { call } from '../api/client.js'
import { metres } from '../format/units.js'
import { ChoiceField, FormFrame, TextField } from '../garden/fields.js'
import { RemoveButton } from '../garden/remove-button.js'
import { numberIn, textIn, useForm } from '../garden/use-form.js'
import { COMPASS } from './compass.js'
import { skylinePath } from './sun-year-data.js'

interface SkylineFormProps {
  readonly skyline: BedSkyline
  onChanged(): Promise<void>
}

function fenceText(fence: SkylineFence): string {
  return `${metres(fence.heightM)} m high, ${metres(fence.distanceM)} m away, towards the ${compassPoint(fence.directionDeg)}`
}

export function SkylineForm({ skyline, onChanged }: SkylineFormProps) {
  const fences = skyline.drawn?.fences ?? []
  const points = skyline.drawn?.points ?? []
  const form = useForm(`skyline.${skyline.bed}`, { heightM: '', distanceM: '', directionDeg: '270' })

  async function put(next: readonly SkylineFence[]): Promise<void> {
    if (next.length === 0 && points.length === 0) await call('DELETE', skylinePath(skyline.bed))
    else await call('PUT', skylinePath(skyline.bed), { points, fences: next })
    await onChanged()
  }

  const send = (values: Readonly<Record<string, string>>): Promise<void> =>
    put([
      ...fences,
      {
        heightM: numberIn(values, 'heightM'),
        distanceM: numberIn(values, 'distanceM'),
        directionDeg: Number(textIn(values, 'directionDeg')),
        leftEndDeg: null,
        rightEndDeg: null,
      },
    ])

  return (
    <details>
      <summary>Tell it what stands around the bed</summary>
      <p class="hint">
        The skyline learns itself from clear days. A fence, wall or hedge paced out here is believed at once,
        and joined with what is learned.
      </p>
      {fences.length > 0 && (
        <ul class="history">
          {fences.map((fence, i) => (
            <li key={`${fence.directionDeg} ${fence.heightM} ${fence.distanceM}`}>
              {fenceText(fence)}{' '}
              <RemoveButton
                what={`what is ${fenceText(fence)}`}
                onRemove={() => put(fences.filter((_, n) => n !== i))}
              />
            </li>
          ))}
        </ul>
      )}
      <FormFrame
        form={form}
        label="What stands around the bed"
        submitLabel="Add it"
        onSubmit={() => void form.submit(send)}
      >
        <div class="pair">
          <TextField
            form={form}
            name="heightM"
            label="Height above the bed, m"
            isNumber
            size={6}
            isRequired
          />
          <TextField form={form} name="distanceM" label="Distance, m" isNumber size={6} isRequired />
          <ChoiceField
            form={form}
            name="directionDeg"
            label="Nearest towards the"
            isRequired
            options={COMPASS.map((point) => ({ value: String(point.azimuthDeg), label: point.name }))}
          />
        </div>
      </FormFrame>
    </details>
  )
}
