/** Plantings: which crop, in which bed, since when, how many, how far apart. */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Planting } from '../../../shared/api/garden.js'
import { localDate } from '../../../shared/local-time.js'
import { dayMonthYear } from '../format/local-clock.js'
import { plantingPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { bedName, beds, cropName, crops, plantings, timeZone } from '../state/garden.js'
import { nowMs } from '../state/present.js'
import { FoldedItem } from './folded-item.js'
import { PlantingForm } from './planting-form.js'
import { prefillFrom } from './planting-prefill.js'
import { hasDraft } from './use-form.js'

/** What has become of it by the garden's date; a date to come is a plan. */
function since(planting: Planting, date: string): string {
  const { sownOn, plantedOutOn, finishedOn } = planting
  if (finishedOn !== null) return `finished ${dayMonthYear(finishedOn)}`
  if (plantedOutOn !== null)
    return `${plantedOutOn > date ? 'to be planted out' : 'planted out'} ${dayMonthYear(plantedOutOn)}`
  if (sownOn !== null) return `${sownOn > date ? 'to be sown' : 'sown'} ${dayMonthYear(sownOn)}`
  return 'no date yet'
}

export function PlantingsSection() {
  const known = plantings.state.value.value ?? []
  const [isAsked] = useState(() => prefillFrom(location.search) !== null)
  // what was typed before a reload is not folded away
  const [isBegun] = useState(() => hasDraft('planting.new'))
  const date = localDate(nowMs.value, timeZone.value)
  const isFirst = plantings.state.value.value?.length === 0
  const entry = useRef<HTMLDetailsElement>(null)
  const isLoaded = plantings.state.value.value !== null && crops.state.value.value !== null
  useEffect(() => {
    // when all above it has come to rest
    if (isAsked && isLoaded) entry.current?.scrollIntoView()
  }, [isAsked, isLoaded])
  if ((beds.state.value.value ?? []).length === 0)
    return (
      <section aria-labelledby="plantings-heading">
        <h3 id="plantings-heading">Plantings</h3>
        <p>A planting needs a bed to stand in: add one above first.</p>
      </section>
    )
  return (
    <section aria-labelledby="plantings-heading">
      <h3 id="plantings-heading">Plantings</h3>
      {known.map((planting) => (
        <FoldedItem
          key={planting.id}
          summary={
            <>
              <b>{cropName(planting.crop)}</b>
              {planting.variety !== null && ` ‘${planting.variety}’`} in {bedName(planting.bed)},{' '}
              {since(planting, date)}
            </>
          }
        >
          <p>
            <a href={plantingPath(planting.id)}>How it grows</a>
          </p>
          <PlantingForm planting={planting} />
        </FoldedItem>
      ))}
      {mayChange.value && (
        <FoldedItem summary="Add a planting" box={entry} isOpen={isFirst || isAsked || isBegun}>
          <PlantingForm key={known.length} planting={null} takesAddress />
        </FoldedItem>
      )}
    </section>
  )
}
