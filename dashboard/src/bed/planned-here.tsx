/** Plantings of the bed that are still to come: their dates lie ahead. */
import { useEffect } from 'preact/hooks'
import type { Planting } from '../../../shared/api/garden.js'
import { dayMonthYear } from '../format/local-clock.js'
import { plantingName } from '../planting/planting-words.js'
import { plantingPath } from '../routes.js'
import { cropName, crops, plantings, today } from '../state/garden.js'

const begins = ({ sownOn, plantedOutOn }: Planting): string => sownOn ?? plantedOutOn ?? ''

function datesInWords({ sownOn, plantedOutOn }: Planting): string {
  const dates = [
    sownOn === null ? null : `to be sown on ${dayMonthYear(sownOn)}`,
    plantedOutOn === null ? null : `to be planted out on ${dayMonthYear(plantedOutOn)}`,
  ]
  return dates.filter((words) => words !== null).join(', ')
}

export function PlannedHere({ bed }: { readonly bed: string }) {
  useEffect(() => {
    void plantings.reload()
    void crops.reload()
  }, [bed])
  const date = today.state.value.value?.date ?? null
  const all = plantings.state.value.value
  if (date === null || all === null || crops.state.value.value === null) return null
  const planned = all
    .filter((planting) => planting.bed === bed && begins(planting) > date)
    .sort((a, b) => begins(a).localeCompare(begins(b)))
  if (planned.length === 0) return null
  return (
    <section class="growing-here">
      <h3>Planned here</h3>
      <ul>
        {planned.map((planting) => (
          <li key={planting.id}>
            <a href={plantingPath(planting.id)}>
              <b>{plantingName(cropName(planting.crop), planting.variety)}</b>
            </a>
            , {planting.plants} {planting.plants === 1 ? 'plant' : 'plants'}: {datesInWords(planting)}.
          </li>
        ))}
      </ul>
    </section>
  )
}
