/** When sowing in place pays, by the soil. */
import type { Plan } from '../../../shared/api/plan.js'
import { dayMonth } from '../format/local-clock.js'
import { showTemperature } from '../format/units.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { tempUnit } from '../state/preferences.js'
import { SOIL_WORDS, soilSentence } from './plan-words.js'

export function SoilPart({
  soil,
  cropName,
}: {
  readonly soil: NonNullable<Plan['soil']>
  readonly cropName: string
}) {
  return (
    <section class="plan-part" aria-labelledby="plan-soil-heading">
      <h3 id="plan-soil-heading">The soil for sowing in place</h3>
      <p>{soilSentence(soil)}</p>
      <details>
        <summary>The soil week by week</summary>
        <ScrollTable label={`Soil for ${cropName}, week by week`}>
          <table class="day-table">
            <thead>
              <tr>
                <th scope="col">week from</th>
                <th scope="col">usual soil</th>
                <th scope="col">is</th>
                <th scope="col">days until it is up</th>
              </tr>
            </thead>
            <tbody>
              {soil.weeks.map((week) => (
                <tr key={week.date}>
                  <th scope="row">{dayMonth(week.date)}</th>
                  <td>{showTemperature(week.soilMeanC, tempUnit.value)}</td>
                  <td>{SOIL_WORDS[week.verdict]}</td>
                  <td>{week.daysToEmergence === null ? 'not known' : Math.ceil(week.daysToEmergence)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </ScrollTable>
      </details>
    </section>
  )
}
