/** The garden itself: its name, where on Earth it lies, and whose clock it keeps. */
import { useState } from 'preact/hooks'
import { call } from '../api/client.js'
import { garden, inGarden, loadGarden } from '../state/garden.js'
import { FormFrame, TextField } from './fields.js'
import { FieldProblem, numberIn, optionalNumberIn, textIn, useForm } from './use-form.js'

const ownZone = (): string => Intl.DateTimeFormat().resolvedOptions().timeZone

/** Decimal degrees with a sign, or with the letter of the hemisphere: '55.77', '12,5 E', '33.9 S'. */
function degreesIn(values: Readonly<Record<string, string>>, field: string, negative: string): number {
  const text = (values[field] ?? '').trim().replace('°', ' ')
  const match = /^([^NSEWnsew]*)([NSEWnsew])?$/.exec(text)
  const letter = match?.[2]?.toUpperCase()
  if (letter !== undefined && !(negative === 'S' ? 'NS' : 'EW').includes(letter))
    throw new FieldProblem(field, `write degrees, or degrees with ${negative === 'S' ? 'N or S' : 'E or W'}`)
  const degrees = numberIn({ [field]: match?.[1] ?? '' }, field)
  return letter === negative ? -degrees : degrees
}

export function GardenForm() {
  const known = garden.value
  const form = useForm('garden', {
    name: known?.name ?? '',
    latitudeDeg: known === null ? '' : String(known.latitudeDeg),
    longitudeDeg: known === null ? '' : String(known.longitudeDeg),
    elevationM: known === null ? '' : String(known.elevationM),
    timeZone: known?.timeZone ?? ownZone(),
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
      latitudeDeg: degreesIn(values, 'latitudeDeg', 'S'),
      longitudeDeg: degreesIn(values, 'longitudeDeg', 'W'),
      elevationM: optionalNumberIn(values, 'elevationM') ?? 0,
      timeZone: textIn(values, 'timeZone'),
    })
    await loadGarden()
  }

  return (
    <FormFrame
      form={form}
      label="The garden"
      submitLabel={known === null ? 'Begin the almanac' : 'Save the garden'}
      onSubmit={() => void form.submit(send)}
    >
      <TextField form={form} name="name" label="Name of the garden" isRequired />
      <div class="pair">
        <TextField
          form={form}
          name="latitudeDeg"
          label="Latitude"
          hint="Degrees, south negative or with an S; two decimals are enough."
          isNumber
          isRequired
        />
        <TextField
          form={form}
          name="longitudeDeg"
          label="Longitude"
          hint="Degrees, west negative or with a W."
          isNumber
          isRequired
        />
      </div>
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
