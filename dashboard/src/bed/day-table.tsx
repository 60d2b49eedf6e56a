/** The day records of the range: one line a day, newest first. */
import { useState } from 'preact/hooks'
import type { DayRecord } from '../../../shared/api/measurements.js'
import { hoursInWords } from '../format/durations.js'
import { dayMonthYear, shortDate } from '../format/local-clock.js'
import { figure, percent, showDegreeDays, showTemperature, showTemperatureRange } from '../format/units.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { tempUnit } from '../state/preferences.js'

/** So many days are shown before the reader asks for all. */
const FIRST_DAYS = 14
/** What the hub's day records count with when nothing else is asked for, °C. */
const BASE_C = 4.4
const UPPER_C = 26.7
const HEAT_ABOVE_C = 27
const CHILL_BELOW_C = 10

interface DayTableProps {
  readonly days: readonly DayRecord[] | null
  readonly isLoading: boolean
}

const hours = (value: number | null): string => (value === null ? '–' : hoursInWords(value))

/** Why a day is only provisional, in words. */
function note(day: DayRecord): string {
  if (!day.provisional) return ''
  const least = Math.min(day.airCoverage, day.soilCoverage, day.sunCoverage)
  return least < 0.8 ? `incomplete: readings cover ${percent(least)}` : 'the day is not over'
}

function Row({ day }: { readonly day: DayRecord }) {
  const range = (min: number | null, max: number | null): string =>
    showTemperatureRange(min, max, tempUnit.value) ?? '–'
  return (
    <tr class={day.provisional ? 'provisional' : undefined}>
      <th scope="row" title={dayMonthYear(day.date)}>
        {shortDate(day.date)}
      </th>
      <td>{hours(day.sunHours)}</td>
      <td>{hoursInWords(day.possibleSunHours)}</td>
      <td>{day.dliMolM2 === null ? '–' : figure(day.dliMolM2, 1)}</td>
      <td>{range(day.airTempMinC, day.airTempMaxC)}</td>
      <td>{range(day.soilTempMinC, day.soilTempMaxC)}</td>
      <td>{day.degreeDaysC === null ? '–' : showDegreeDays(day.degreeDaysC, tempUnit.value)}</td>
      <td>{hours(day.heatHours)}</td>
      <td>{hours(day.chillHours)}</td>
      <td class="note">{note(day)}</td>
    </tr>
  )
}

export function DayTable({ days, isLoading }: DayTableProps) {
  const [areAllShown, showAll] = useState(false)
  const temp = tempUnit.value
  if (days === null)
    return isLoading ? null : (
      <p class="hint">The day-by-day table is shown for a year at a time: choose a shorter stretch.</p>
    )
  const newestFirst = [...days].reverse()
  const shown = areAllShown ? newestFirst : newestFirst.slice(0, FIRST_DAYS)
  return (
    <section class="day-table">
      <h3>Day by day</h3>
      <ScrollTable label="Day records">
        <table>
          <thead>
            <tr>
              <th scope="col">day</th>
              <th scope="col">sun</th>
              <th scope="col">possible</th>
              <th scope="col">
                light, mol/m<sup>2</sup>
              </th>
              <th scope="col">air</th>
              <th scope="col">soil</th>
              <th scope="col">degree days</th>
              <th scope="col">heat</th>
              <th scope="col">chill</th>
              <th scope="col">note</th>
            </tr>
          </thead>
          <tbody>
            {shown.map((day) => (
              <Row key={day.date} day={day} />
            ))}
          </tbody>
        </table>
      </ScrollTable>
      {shown.length < newestFirst.length && (
        <button type="button" onClick={() => showAll(true)}>
          Show all {newestFirst.length} days
        </button>
      )}
      <p class="hint">
        Degree days above {showTemperature(BASE_C, temp)}, cut off at {showTemperature(UPPER_C, temp)}; heat
        is time above {showTemperature(HEAT_ABOVE_C, temp)}, chill time from {showTemperature(0, temp)} to{' '}
        {showTemperature(CHILL_BELOW_C, temp)}. A dash means not known.
      </p>
    </section>
  )
}
