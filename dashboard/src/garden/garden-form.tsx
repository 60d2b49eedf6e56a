/** The garden itself: its name, where on Earth it lies, and whose clock it keeps. */
import { useState } from 'preact/hooks'
import { call } from '../api/client.js'
import { garden, inGarden, loadGarden } from '../state/garden.js'
import { CoordinateFields, degreesIn } from './coordinate-fields.js'
import { FormFrame, TextField } from './fields.js'
import { optionalNumberIn, textIn, useForm } from './use-form.js'

export function GardenForm() {
  const known = garden.value
  const form = useForm('garden', {
    name: known?.name ?? '',
    latitudeDeg: String(known?.latitudeDeg ?? ''),
    longitudeDeg: String(known?.longitudeDeg ?? ''),
    elevationM: String(known?.elevationM ?? ''),
    timeZone: known?.timeZone ?? '',
  })
  const [locating, setLocating] = useState<string | null>(null)

  function locate(): void {
    setLocating('Asking this device …')
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        form.set('latitudeDeg', coords.latitude.toFixed(4))
        form.set('longitudeDeg', coords.longitude.toFixed(4))
        if (coords.altitude !== null) form.set('elevationM', coords.altitude.toFixed(0))
        setLocating(null)
      },
      () => setLocating('This device did not tell where it is; please type the coordinates.'),
      { timeout: 15_000 },
    )
  }

  const send = async (values: Readonly<Record<string, string>>): Promise<void> => {
    await call('PUT', inGarden(), {
      name: textIn(values, 'name'),
      latitudeDeg: degreesIn(values, 'latitudeDeg', 'latitude'),
      longitudeDeg: degreesIn(values, 'longitudeDeg', 'longitude'),
      elevationM: optionalNumberIn(values, 'elevationM') ?? 0,
      timeZone: textIn(values, 'timeZone'),
    })
    await loadGarden()
  }

  return (
    <FormFrame
      form={form}
      label="The garden"
      submitLabel="Save the garden"
      onSubmit={() => void form.submit(send)}
    >
      <TextField form={form} name="name" label="Name of the garden" isRequired />
      <CoordinateFields form={form} />
      {isSecureContext && 'geolocation' in navigator && (
        <p class="beside">
          <button type="button" class="plain" onClick={locate}>
            Take this device’s position
          </button>{' '}
          <span role="status">{locating ?? ''}</span>
        </p>
      )}
      <div class="pair">
        <TextField
          form={form}
          name="elevationM"
          label="Elevation, m"
          hint="Above the sea; empty counts as 0."
          isNumber
        />
        <TextField
          form={form}
          name="timeZone"
          label="Time zone"
          hint="The garden’s own, e.g. Europe/Copenhagen; days begin and end by it."
          suggestions={Intl.supportedValuesOf('timeZone')}
          isRequired
        />
      </div>
    </FormFrame>
  )
}
