/** Where the garden is: by a town near it or by coordinates, with its clock; and what it is called. */
import type { Place } from '../../../shared/api/places.js'
import { call } from '../api/client.js'
import { CoordinateFields, degreesIn } from '../garden/coordinate-fields.js'
import { FormFrame, TextField } from '../garden/fields.js'
import {
  FieldProblem,
  type Form,
  optionalNumberIn,
  textIn,
  useForm,
  type Values,
} from '../garden/use-form.js'
import { garden, inGarden, loadGarden } from '../state/garden.js'
import { ClockThere } from './clock-there.js'
import { PlaceSearch, placeWords } from './place-search.js'

const ownZone = (): string => Intl.DateTimeFormat().resolvedOptions().timeZone

export function PlaceStep({ onDone }: { onDone(): void }) {
  const known = garden.value
  const typed = useForm('begin.place', {
    name: known?.name ?? '',
    town: '',
    chosenTown: '',
    latitudeDeg: known === null ? '' : String(known.latitudeDeg),
    longitudeDeg: known === null ? '' : String(known.longitudeDeg),
    elevationM: known === null ? '' : String(known.elevationM),
    timeZone: known?.timeZone ?? ownZone(),
    zoneBy: known === null ? '' : 'hand',
  })
  const form: Form = {
    ...typed,
    set(field, value) {
      typed.set(field, value)
      // one typed by hand is not overruled by the map
      if (field === 'timeZone') typed.set('zoneBy', 'hand')
    },
  }

  function choose(place: Place): void {
    const words = placeWords(place)
    typed.set('town', words)
    typed.set('chosenTown', words)
    typed.set('latitudeDeg', String(place.latitudeDeg))
    typed.set('longitudeDeg', String(place.longitudeDeg))
    typed.set('timeZone', place.timeZone)
    typed.set('zoneBy', 'hand')
  }

  const send = async (values: Values): Promise<void> => {
    if (textIn(values, 'latitudeDeg') === '' && textIn(values, 'longitudeDeg') === '')
      throw new FieldProblem('latitudeDeg', 'choose a town above, or write the latitude and longitude here')
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
    <>
      <p>
        Where the garden lies decides when the sun rises over it, and its clock decides where one day ends and
        the next begins. Two decimals are near enough; everything can be changed later. Nothing leaves your
        own network.
      </p>
      <FormFrame
        form={form}
        label="The garden"
        submitLabel={known === null ? 'Begin the almanac' : 'Save and go on'}
        onSubmit={() =>
          void typed.submit(async (values) => {
            await send(values)
            onDone()
          })
        }
      >
        <TextField form={form} name="name" label="Name of the garden" isRequired />
        <PlaceSearch form={form} onChosen={choose} />
        <CoordinateFields form={form} />
        <div class="pair">
          <TextField
            form={form}
            name="timeZone"
            label="Time zone"
            hint="Put in from the place; near a border have a look at it."
            suggestions={Intl.supportedValuesOf('timeZone')}
            isRequired
          />
          <TextField
            form={form}
            name="elevationM"
            label="Elevation, m"
            hint="Above the sea; empty counts as 0."
            isNumber
          />
        </div>
        <ClockThere form={typed} />
      </FormFrame>
    </>
  )
}
