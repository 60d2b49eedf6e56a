/** Plantings: which crop, in which bed, since when, how many, how far apart. */
import { useId } from 'preact/hooks'
import type { Planting } from '../../../shared/api/garden.js'
import { localDate } from '../../../shared/local-time.js'
import { call } from '../api/client.js'
import { dayMonthYear } from '../format/local-clock.js'
import { plantingPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { bedName, beds, cropName, crops, inGarden, plantings, timeZone, today } from '../state/garden.js'
import { nowMs } from '../state/present.js'
import { ChoiceField, FormFrame, TextField } from './fields.js'
import { RemoveButton } from './remove-button.js'
import { numberIn, optionalTextIn, textIn, useForm } from './use-form.js'

const reloadPlantings = (): Promise<unknown> => Promise.all([plantings.reload(), today.reload()])

/** A crop's usual spacing, cm, as text for the field; empty where no crop is chosen. */
function usualSpacingCm(crop: string): string {
  const spacingM = crops.state.value.value?.find((c) => c.id === crop)?.spacingM
  return spacingM === undefined ? '' : String(Math.round(spacingM * 100))
}

function initialValues(planting: Planting | null): Record<string, string> {
  if (planting === null) {
    return {
      crop: '',
      variety: '',
      bed: beds.state.value.value?.[0]?.id ?? '',
      sownOn: '',
      plantedOutOn: localDate(nowMs.peek(), timeZone.value),
      plants: '',
      spacingCm: '',
      finishedOn: '',
    }
  }
  return {
    crop: planting.crop,
    variety: planting.variety ?? '',
    bed: planting.bed,
    sownOn: planting.sownOn ?? '',
    plantedOutOn: planting.plantedOutOn ?? '',
    plants: String(planting.plants),
    spacingCm: String(Math.round(planting.spacingM * 100)),
    finishedOn: planting.finishedOn ?? '',
  }
}

function PlantingForm({ planting }: { readonly planting: Planting | null }) {
  const form = useForm(`planting.${planting?.id ?? 'new'}`, initialValues(planting))
  const listed = crops.state.value.value ?? []
  const label = useId()

  const send = async (values: Readonly<Record<string, string>>): Promise<void> => {
    const body = {
      bed: textIn(values, 'bed'),
      crop: textIn(values, 'crop'),
      variety: optionalTextIn(values, 'variety'),
      sownOn: optionalTextIn(values, 'sownOn'),
      plantedOutOn: optionalTextIn(values, 'plantedOutOn'),
      plants: numberIn(values, 'plants'),
      spacingM: numberIn(values, 'spacingCm') / 100,
      finishedOn: optionalTextIn(values, 'finishedOn'),
    }
    if (planting === null) await call('POST', inGarden('/plantings'), body)
    else await call('PUT', inGarden(`/plantings/${planting.id}`), body)
    await reloadPlantings()
  }

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
          />
        )
      }
      onSubmit={() => void form.submit(send)}
    >
      <div class="pair" id={label}>
        <ChoiceField
          form={form}
          name="crop"
          label="Crop"
          isRequired
          options={[{ value: '', label: 'choose …' }, ...listed.map((c) => ({ value: c.id, label: c.name }))]}
          onChosen={(crop) => {
            const usual = usualSpacingCm(crop)
            if (usual !== '') form.set('spacingCm', usual)
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
          name="spacingCm"
          label="Plant to plant, cm"
          hint="The crop’s usual spacing is put in when you choose it."
          isNumber
          size={6}
          isRequired
        />
      </div>
    </FormFrame>
  )
}

function since(planting: Planting): string {
  if (planting.finishedOn !== null) return `finished ${dayMonthYear(planting.finishedOn)}`
  if (planting.plantedOutOn !== null) return `planted out ${dayMonthYear(planting.plantedOutOn)}`
  return planting.sownOn === null ? 'no date yet' : `sown ${dayMonthYear(planting.sownOn)}`
}

export function PlantingsSection() {
  const known = plantings.state.value.value ?? []
  if ((beds.state.value.value ?? []).length === 0) return null
  return (
    <section aria-labelledby="plantings-heading">
      <h3 id="plantings-heading">Plantings</h3>
      {known.map((planting) => (
        <details key={planting.id} class="item">
          <summary>
            <b>{cropName(planting.crop)}</b>
            {planting.variety !== null && ` ‘${planting.variety}’`} in {bedName(planting.bed)},{' '}
            {since(planting)}
          </summary>
          <p>
            <a href={plantingPath(planting.id)}>How it grows</a>
          </p>
          <PlantingForm planting={planting} />
        </details>
      ))}
      {mayChange.value && (
        <details class="item" open={known.length === 0}>
          <summary>Add a planting</summary>
          <PlantingForm key={known.length} planting={null} />
        </details>
      )}
    </section>
  )
}
