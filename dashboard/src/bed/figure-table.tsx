/** The figures behind a chart, as a table: made only when opened. */
import { useState } from 'preact/hooks'
import type { Series } from '../../../shared/api/measurements.js'
import { flagNames } from '../../../shared/quality-flags.js'
import { stepInWords } from '../format/durations.js'
import { dateAndClock } from '../format/local-clock.js'
import { labelOf, percent, showValue } from '../format/units.js'
import { flagWord } from '../parts/flag-words.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { timeZone } from '../state/garden.js'
import { clockStyle, tempUnit } from '../state/preferences.js'
import type { ChartLine } from './chart-line.js'

/** More rows than this nobody reads; the table then says so. */
const MOST_ROWS = 400

function rowsOf(count: number): number[] {
  const every = Math.max(1, Math.ceil(count / MOST_ROWS))
  return Array.from({ length: Math.ceil(count / every) }, (_, i) => i * every)
}

function OneTable({ series }: { readonly series: Series }) {
  const show = (value: number | null | undefined): string =>
    value === null || value === undefined
      ? '–'
      : showValue(series.quantity, series.unit, value, tempUnit.value)
  const when = (timeS: number | undefined): string =>
    timeS === undefined ? '' : dateAndClock(timeS * 1000, timeZone.value, clockStyle.value)
  const rows = rowsOf(series.time.length)
  const thinned =
    rows.length < series.time.length
      ? `, ${rows.length} of ${series.time.length} evenly spaced; zoom in for the rest`
      : ''
  return (
    <table>
      <caption>
        {labelOf(series.quantity)}
        {series.form === 'raw' ? ', readings as they came' : `, in ${stepInWords(series.stepS)} steps`}
        {thinned}
      </caption>
      <thead>
        {series.form === 'raw' ? (
          <tr>
            <th scope="col">time</th>
            <th scope="col">value</th>
            <th scope="col">doubts</th>
          </tr>
        ) : (
          <tr>
            <th scope="col">from</th>
            <th scope="col">lowest</th>
            <th scope="col">mean</th>
            <th scope="col">highest</th>
            <th scope="col">covered</th>
          </tr>
        )}
      </thead>
      <tbody>
        {rows.map((i) =>
          series.form === 'raw' ? (
            <tr key={i}>
              <td>{when(series.time[i])}</td>
              <td>{show(series.value[i])}</td>
              <td>
                {flagNames(series.flags[i] ?? 0)
                  .map(flagWord)
                  .join('; ')}
              </td>
            </tr>
          ) : (
            <tr key={i}>
              <td>{when(series.time[i])}</td>
              <td>{show(series.min[i])}</td>
              <td>{show(series.mean[i])}</td>
              <td>{show(series.max[i])}</td>
              <td>{percent(series.coverage[i] ?? 0)}</td>
            </tr>
          ),
        )}
      </tbody>
    </table>
  )
}

interface FigureTableProps {
  readonly title: string
  readonly lines: readonly ChartLine[]
}

export function FigureTable({ title, lines }: FigureTableProps) {
  const [isOpen, setOpen] = useState(false)
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        Figures<span class="unseen"> of {title.toLowerCase()}</span>
      </summary>
      {isOpen && (
        <ScrollTable label={`Figures of ${title.toLowerCase()}`}>
          {lines.map((line) => line.series !== null && <OneTable key={line.quantity} series={line.series} />)}
        </ScrollTable>
      )}
    </details>
  )
}
