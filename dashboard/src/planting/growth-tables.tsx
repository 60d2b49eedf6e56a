/** The planting's curves as tables: its stages, and its days. */
import { useState } from 'preact/hooks'
import type { PlantingReport } from '../../../shared/api/progress.js'
import { dayMonthYear, shortDate } from '../format/local-clock.js'
import { figure, showDegreeDays, toShown } from '../format/units.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { tempUnit } from '../state/preferences.js'

export function StageTable({ report }: { readonly report: PlantingReport }) {
  const ahead = (stage: string) => report.projection.stages.find((s) => s.stage === stage)
  return (
    <ScrollTable label="Stages">
      <table class="stage-table">
        <thead>
          <tr>
            <th scope="col">stage</th>
            <th scope="col">BBCH</th>
            <th scope="col">from</th>
            <th scope="col">when</th>
            <th scope="col">eight times in ten</th>
          </tr>
        </thead>
        <tbody>
          {report.stages.map((stage) => {
            const coming = ahead(stage.stage)
            const expected = coming?.expectedOn ?? null
            return (
              <tr key={stage.stage} aria-current={stage.stage === report.stage ? 'step' : undefined}>
                <th scope="row">{stage.stageName}</th>
                <td>{stage.bbch}</td>
                <td>{showDegreeDays(stage.degreeDaysC, tempUnit.value)}</td>
                <td>
                  {stage.reachedOn !== null
                    ? dayMonthYear(stage.reachedOn)
                    : expected === null
                      ? 'not known'
                      : `about ${dayMonthYear(expected)}`}
                </td>
                <td>
                  {stage.reachedOn === null && coming?.earliestOn && coming.latestOn
                    ? `${shortDate(coming.earliestOn)} to ${shortDate(coming.latestOn)}`
                    : '–'}
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
    </ScrollTable>
  )
}

export function GrowthDays({ report }: { readonly report: PlantingReport }) {
  const [isOpen, setOpen] = useState(false)
  const unit = tempUnit.value
  const { days } = report
  const temp = (c: number | null | undefined): string =>
    c === null || c === undefined ? '–' : figure(toShown(c, '°C', unit), 1)
  const rows = days.date.map((date, i) => ({ date, i })).reverse()
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Its days in figures</summary>
      {isOpen && (
        <ScrollTable label="Days of the planting">
          <table>
            <caption>newest first; temperatures in °{unit}</caption>
            <thead>
              <tr>
                <th scope="col">day</th>
                <th scope="col">degree days so far</th>
                <th scope="col">lowest</th>
                <th scope="col">mean</th>
                <th scope="col">highest</th>
                <th scope="col">heat hours</th>
              </tr>
            </thead>
            <tbody>
              {rows.map(({ date, i }) => (
                <tr key={date}>
                  <th scope="row">{dayMonthYear(date)}</th>
                  <td>{showDegreeDays(days.degreeDaysC[i] ?? 0, unit)}</td>
                  <td>{temp(days.minC[i])}</td>
                  <td>{temp(days.meanC[i])}</td>
                  <td>{temp(days.maxC[i])}</td>
                  <td>{typeof days.heatHours[i] === 'number' ? figure(days.heatHours[i] ?? 0, 1) : '–'}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </ScrollTable>
      )}
    </details>
  )
}
