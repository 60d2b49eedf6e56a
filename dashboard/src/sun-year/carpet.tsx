/** The season as a carpet: days across, time of day upwards, with sunrise, sunset and the skyline's cut over it. */
import { useMemo, useState } from 'preact/hooks'
import type { CarpetDay, SunCarpet } from '../../../shared/api/sun.js'
import { hoursInWords } from '../format/durations.js'
import { dayMonthYear, shortDate } from '../format/local-clock.js'
import { percent } from '../format/units.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { ENOUGH_HOURS } from '../sun/sun-sentence.js'
import { readInks } from './carpet-inks.js'
import { CARPET_HEIGHT, CarpetPicture } from './carpet-picture.js'
import { carpetPixels, minuteLine, skylineCut } from './carpet-pixels.js'
import { minuteClock } from './minute-clock.js'

/** A day with less of its daylight measured is not counted, as everywhere in the hub. */
const COMPLETE_COVERAGE = 0.8

/** Less than that is within what sun hours and skyline can be known to. */
const CLEARLY_MORE_HOURS = 0.5

interface CarpetProps {
  readonly carpet: SunCarpet
  readonly bedName: string
}

/** 'Thu 6 May: 7 h 10 min of sun of 13 h possible; sunrise 5:21, sunset 20:37.' */
function dayText(day: CarpetDay): string {
  const sun =
    day.sunHours === null
      ? `sun not known, ${hoursInWords(day.possibleSunHours)} possible`
      : day.sunHours > day.possibleSunHours + CLEARLY_MORE_HOURS
        ? `${hoursInWords(day.sunHours)} of sun, more than its skyline promised (${hoursInWords(day.possibleSunHours)})`
        : `${hoursInWords(day.sunHours)} of sun of ${hoursInWords(day.possibleSunHours)} possible`
  const doubt =
    day.sunHours !== null && day.sunCoverage < COMPLETE_COVERAGE
      ? ` (${percent(day.sunCoverage)} covered)`
      : ''
  const times =
    day.sunriseMin === null || day.sunsetMin === null
      ? ''
      : `; sunrise ${minuteClock(day.date, day.sunriseMin)}, sunset ${minuteClock(day.date, day.sunsetMin)}`
  return `${shortDate(day.date)}: ${sun}${doubt}${times}.`
}

function summary({ days }: SunCarpet, bedName: string): string {
  const measured = days.filter((d) => d.sunHours !== null && d.sunCoverage >= COMPLETE_COVERAGE)
  const enough = measured.filter((d) => (d.sunHours ?? 0) >= ENOUGH_HOURS).length
  const [first, last] = [days[0], days[days.length - 1]]
  if (first === undefined || last === undefined) return `${bedName}: no days.`
  if (measured.length === 0) return `${bedName}: the sun of no day was measured yet.`
  return (
    `Sun of ${bedName}, ${dayMonthYear(first.date)} to ${dayMonthYear(last.date)}: ` +
    `${enough} of ${measured.length} measured days had six hours of sun or more.`
  )
}

function Lines({ days, width }: { readonly days: readonly CarpetDay[]; readonly width: number }) {
  const rise = useMemo(() => minuteLine(days, (d) => d.sunriseMin, width, CARPET_HEIGHT), [days, width])
  const set = useMemo(() => minuteLine(days, (d) => d.sunsetMin, width, CARPET_HEIGHT), [days, width])
  const cut = useMemo(() => skylineCut(days, width, CARPET_HEIGHT), [days, width])
  return (
    <>
      <path d={rise} class="carpet-edge" />
      <path d={set} class="carpet-edge" />
      <path d={cut} class="carpet-cut" />
    </>
  )
}

function DaysTable({ days }: { readonly days: readonly CarpetDay[] }) {
  const [isOpen, setOpen] = useState(false)
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Its days as a table</summary>
      {isOpen && (
        <ScrollTable label="Days of the carpet">
          <table>
            <thead>
              <tr>
                <th scope="col">day</th>
                <th scope="col">sun</th>
                <th scope="col">possible</th>
                <th scope="col">covered</th>
                <th scope="col">sunrise</th>
                <th scope="col">sunset</th>
              </tr>
            </thead>
            <tbody>
              {[...days].reverse().map((day) => (
                <tr key={day.date}>
                  <th scope="row">{dayMonthYear(day.date)}</th>
                  <td>{day.sunHours === null ? '–' : hoursInWords(day.sunHours)}</td>
                  <td>{hoursInWords(day.possibleSunHours)}</td>
                  <td>{percent(day.sunCoverage)}</td>
                  <td>{day.sunriseMin === null ? '–' : minuteClock(day.date, day.sunriseMin)}</td>
                  <td>{day.sunsetMin === null ? '–' : minuteClock(day.date, day.sunsetMin)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </ScrollTable>
      )}
    </details>
  )
}

export function Carpet({ carpet, bedName }: CarpetProps) {
  const { days, states } = carpet
  return (
    <div class="carpet">
      <CarpetPicture
        days={days}
        label={`Carpet of the sun on ${bedName}`}
        summary={summary(carpet, bedName)}
        text={(at) => (days[at] === undefined ? '' : dayText(days[at]))}
        readInks={readInks}
        pixels={(width, height, grain, inks) => carpetPixels(days, states, width, height, grain, inks)}
        of={[carpet]}
        lines={(width) => <Lines days={days} width={width} />}
      />
      <DaysTable days={days} />
    </div>
  )
}
