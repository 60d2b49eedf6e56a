/** The weeks as a table: the picture's figures, for whoever reads figures. */
import type { Plan, PlanWeek } from '../../../shared/api/plan.js'
import { dayMonth, dayMonthYear } from '../format/local-clock.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { chanceWords, risksOf, weekGrade } from './plan-words.js'

const day = (date: string | null): string => (date === null ? '–' : dayMonth(date))

export function WeekTable({ plan, weeks }: { readonly plan: Plan; readonly weeks: readonly PlanWeek[] }) {
  const [first] = weeks
  if (first === undefined) return null
  const isUnderCover = first.plantOutOn !== null
  // a risk that the crop does not know has no column
  const risks = risksOf(first, plan.forms).flatMap(({ name, likely }, i) =>
    likely === null ? [] : [{ name, i }],
  )
  return (
    <details>
      <summary>Every week as a table</summary>
      <ScrollTable label={`Weeks of sowing ${plan.cropName}`}>
        <table class="day-table">
          <thead>
            <tr>
              <th scope="col">week from</th>
              <th scope="col">is</th>
              {isUnderCover && <th scope="col">plant out</th>}
              <th scope="col">forms from</th>
              <th scope="col">ready</th>
              <th scope="col">until</th>
              {risks.map(({ name }) => (
                <th key={name} scope="col">
                  {name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {weeks.map((week) => (
              <tr key={week.sowOn}>
                <th scope="row">{dayMonthYear(week.sowOn)}</th>
                <td>{weekGrade(week.score)}</td>
                {isUnderCover && <td>{day(week.plantOutOn)}</td>}
                <td>{day(week.headingFrom)}</td>
                <td>{day(week.readyFrom)}</td>
                <td>{day(week.readyTo)}</td>
                {risks.map(({ name, i }) => {
                  const likely = risksOf(week, plan.forms)[i]?.likely ?? null
                  return <td key={name}>{likely === null ? '–' : chanceWords(likely, plan.years)}</td>
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollTable>
    </details>
  )
}
