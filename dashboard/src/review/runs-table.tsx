/** What the small plots compare, in figures. */
import type { SeasonReview } from '../../../shared/api/review.js'
import { hoursInWords } from '../format/durations.js'
import { dayMonth } from '../format/local-clock.js'
import { showDegreeDays, showTemperature } from '../format/units.js'
import { weightWords } from '../journal/journal-words.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { lengthUnit, tempUnit } from '../state/preferences.js'
import type { Among, Run } from './alignment.js'
import { meanOf } from './review-words.js'

export function RunsTable({
  runs,
  review,
  among,
}: {
  readonly runs: readonly Run[]
  readonly review: SeasonReview
  readonly among: Among
}) {
  const unit = tempUnit.value
  const harvestOf = (id: string): string => {
    const harvest = review.plantings.find(({ planting }) => planting === id)?.harvest
    if (harvest === undefined || harvest.weightKg === null) return '–'
    return weightWords(harvest.weightKg, lengthUnit.value)
  }
  return (
    <ScrollTable label="Compared in figures">
      <table class="runs-table">
        <caption>In figures</caption>
        <thead>
          <tr>
            <th scope="col">{among === 'plantings' ? 'planting' : among === 'beds' ? 'bed' : 'year'}</th>
            <th scope="col">from</th>
            <th scope="col">days</th>
            <th scope="col">sun a day</th>
            <th scope="col">mean</th>
            <th scope="col">degree days</th>
            {among === 'plantings' && <th scope="col">heat</th>}
            {among === 'plantings' && <th scope="col">cut</th>}
          </tr>
        </thead>
        <tbody>
          {runs.map((run) => {
            const sun = meanOf(run.sunHours)
            const meanC = meanOf(run.meanC)
            const heat = run.heatHours?.reduce<number>((sum, hours) => sum + (hours ?? 0), 0)
            return (
              <tr key={run.id}>
                <th scope="row">{run.name}</th>
                <td>{dayMonth(run.date[0] ?? '')}</td>
                <td>{run.date.length}</td>
                <td>{sun === null ? '–' : hoursInWords(sun)}</td>
                <td>{meanC === null ? '–' : showTemperature(meanC, unit)}</td>
                <td>{meanC === null ? '–' : showDegreeDays(run.sumC.at(-1) ?? 0, unit)}</td>
                {among === 'plantings' && (
                  <td>{heat === undefined || meanC === null ? '–' : hoursInWords(heat)}</td>
                )}
                {among === 'plantings' && <td>{harvestOf(run.id)}</td>}
              </tr>
            )
          })}
        </tbody>
      </table>
    </ScrollTable>
  )
}
