/** The form of a planting: which crop, in which bed, when, how many, how far apart; and whether they have room. */
import { useEffect } from 'preact/hooks'
import type { Planting } from '../../../shared/api/garden.js'
import { localDate } from '../../../shared/local-time.js'
import { call } from '../api/client.js'
import { bareSpacing, type LengthUnit, spacingText } from '../format/lengths.js'
import { beds, cropName, crops, inGarden, plantings, timeZone, today } from '../state/garden.js'
import { lengthUnit } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { ChoiceField, FormFrame, TextField } from './fields.js'
import { type PlantingPrefill, prefillFrom } from './planting-prefill.js'
import { PlantingRoom, TightTick } from './planting-room.js'
import { RemoveButton } from './remove-button.js'
import { type Form, numberIn, optionalTextIn, textIn, type Values } from './use-form.js'
import { spacingIn, useLengthForm } from './use-length-form.js'

const reloadPlantings = (): Promise<unknown> => Promise.all([plantings.reload(), today.reload()])

/** A crop's usual spacing as text for the field; empty where no crop is chosen. */
function usualSpacing(crop: string, unit: LengthUnit): string {
  const spacingM = crops.state.value.value?.find((c) => c.id === crop)?.spacingM
  return spacingM === undefined ? '' : spacingText(spacingM, unit)
}

function initialValues(planting: Planting | null, unit: LengthUnit): Values {
  if (planting === null) {
    return {
      isTightOnPurpose: '',
      crop: '',
      variety: '',
      bed: beds.state.value.value?.[0]?.id ?? '',
      sownOn: '',
      plantedOutOn: localDate(nowMs.peek(), timeZone.value),
      plants: '',
      spacingM: '',
      finishedOn: '',
    }
  }
  return {
    isTightOnPurpose: '',
    crop: planting.crop,
    variety: planting.variety ?? '',
    bed: planting.bed,
    sownOn: planting.sownOn ?? '',
    plantedOutOn: planting.plantedOutOn ?? '',
    plants: String(planting.plants),
    spacingM: spacingText(planting.spacingM, unit),
    finishedOn: planting.finishedOn ?? '',
  }
}

/** What an address says is put into the form as if it had been typed; all else stays. */
function prefill(form: Form, given: PlantingPrefill, unit: LengthUnit): void {
  const { crop, bed, variety, spacingM, plants, sownOn, plantedOutOn } = given
  for (const [name, value] of Object.entries({ crop, bed, variety })) if (value) form.set(name, value)
  if (plants) form.set('plants', String(plants))
  const spacing = spacingM ? spacingText(spacingM, unit) : usualSpacing(crop ?? '', unit)
  if (spacing !== '') {
    form.set('spacingM', spacing)
    form.set('lengthUnit', unit)
  }
  if (sownOn || plantedOutOn) {
    form.set('sownOn', sownOn ?? '')
    form.set('plantedOutOn', plantedOutOn ?? '')
  }
}

interface PlantingFormProps {
  readonly planting: Planting | null
  /** may the page's address say what is to be planted? */
  readonly takesAddress?: boolean
  /** where the form is one of a row of steps */
  onSaved?(): void
}

export function PlantingForm({ planting, takesAddress = false, onSaved }: PlantingFormProps) {
  const initial = initialValues(planting, lengthUnit.value)
  const { form, unit } = useLengthForm(`planting.${planting?.id ?? 'new'}`, initial)
  const listed = crops.state.value.value ?? []

  useEffect(() => {
    // once the crops are known, so that a usual spacing can be put in
    const given = takesAddress && listed.length > 0 ? prefillFrom(location.search) : null
    if (given === null) return
    prefill(form, given, lengthUnit.peek())
    // from here on it is typing like any other: a reload must not put it in again
    history.replaceState(null, '', location.pathname)
  }, [takesAddress, listed.length > 0])

  const send = async (values: Values): Promise<void> => {
    const body = {
      bed: textIn(values, 'bed'),
      crop: textIn(values, 'crop'),
      variety: optionalTextIn(values, 'variety'),
      sownOn: optionalTextIn(values, 'sownOn'),
      plantedOutOn: optionalTextIn(values, 'plantedOutOn'),
      plants: numberIn(values, 'plants'),
      spacingM: spacingIn(values, 'spacingM', unit, planting?.spacingM ?? null),
      finishedOn: optionalTextIn(values, 'finishedOn'),
      isTightOnPurpose: values.isTightOnPurpose === 'true',
    }
    if (planting === null) await call('POST', inGarden('/plantings'), body)
    else await call('PUT', inGarden(`/plantings/${planting.id}`), body)
    await reloadPlantings()
    onSaved?.()
  }

  const isChanged = Object.entries(initial).some(([name, value]) => form.values[name] !== value)
  return (
    <FormFrame
      form={form}
      label={planting === null ? 'A new planting' : `Planting of ${cropName(planting.crop)}`}
      submitLabel={planting === null ? 'Add the planting' : 'Save the planting'}
      aside={
        planting !== null && (
          <RemoveButton
            what={`the planting of ${cropName(planting.crop)}`}
            onRemove={async () => {
              await call('DELETE', inGarden(`/plantings/${planting.id}`))
              await reloadPlantings()
            }}
            withAll={{
              label: 'Remove it with its journal',
              async remove() {
                await call('DELETE', inGarden(`/plantings/${planting.id}?withJournal=true`))
                await reloadPlantings()
              },
            }}
          />
        )
      }
      onSubmit={() => void form.submit(send)}
    >
      <div class="pair">
        <ChoiceField
          form={form}
          name="crop"
          label="Crop"
          isRequired
          options={[{ value: '', label: 'choose …' }, ...listed.map((c) => ({ value: c.id, label: c.name }))]}
          onChosen={(crop) => {
            const usual = usualSpacing(crop, unit)
            if (usual !== '') form.set('spacingM', usual)
          }}
        />
        <TextField form={form} name="variety" label="Variety" />
        <ChoiceField
          form={form}
          name="bed"
          label="Bed"
          isRequired
          options={(beds.state.value.value ?? []).map((b) => ({ value: b.id, label: b.name }))}
        />
      </div>
      <div class="pair">
        <TextField form={form} name="sownOn" label="Sown on" type="date" />
        <TextField form={form} name="plantedOutOn" label="Planted out on" type="date" />
        {planting !== null && <TextField form={form} name="finishedOn" label="Finished on" type="date" />}
      </div>
      <div class="pair">
        <TextField form={form} name="plants" label="How many plants" isNumber size={6} isRequired />
        <TextField
          form={form}
          name="spacingM"
          label={`Plant to plant, ${bareSpacing(unit)}`}
          hint="The crop’s usual spacing is put in when you choose it."
          isNumber={unit === 'm'}
          size={6}
          isRequired
        />
      </div>
      <PlantingRoom
        values={form.values}
        unit={unit}
        except={planting?.id ?? null}
        isAsked={planting === null ? textIn(form.values, 'crop') !== '' : isChanged}
      />
      <TightTick form={form} />
    </FormFrame>
  )
}
