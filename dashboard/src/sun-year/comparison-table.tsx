/** Beds side by side over the same days, in figures. */
import { useEffect, useMemo } from 'preact/hooks'
import { hoursInWords } from '../format/durations.js'
import { dayMonthYear } from '../format/local-clock.js'
import { Failure } from '../parts/failure.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { sunComparison } from './sun-year-data.js'

const hours = (value: number | null): string => (value === null ? '–' : hoursInWords(value))

export function ComparisonTable({ today }: { readonly today: string }) {
  const comparison = useMemo(() => sunComparison(today), [today])
  useEffect(() => void comparison.reload(), [comparison])
  const { value, failure } = comparison.state.value
  if (failure !== null) return <Failure failure={failure} onRetry={() => void comparison.reload()} />
  if (value === null) return null
  return (
    <section class="sun-part">
      <h3>All beds beside each other</h3>
      <ScrollTable label="Sun of all beds">
        <table>
          <caption>
            {dayMonthYear(value.from)} to {dayMonthYear(value.to)}; means of the days that were measured
          </caption>
          <thead>
            <tr>
              <th scope="col">bed</th>
              <th scope="col">sun a day</th>
              <th scope="col">possible</th>
              <th scope="col">its best day</th>
              <th scope="col">days of six hours</th>
              <th scope="col">label</th>
            </tr>
          </thead>
          <tbody>
            {value.beds.map((bed) => (
              <tr key={bed.bed}>
                <th scope="row">{bed.name}</th>
                <td>{hours(bed.sunHours)}</td>
                <td>{hours(bed.possibleSunHours)}</td>
                <td>{hours(bed.mostSunHours)}</td>
                <td>
                  {bed.daysWithSixHours} of {bed.days}
                </td>
                <td>{bed.label}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollTable>
    </section>
  )
}
