/** The Today page: warnings first, then each bed as a row of the almanac. */
import { useEffect } from 'preact/hooks'
import type { SunState, Today } from '../../../shared/api/measurements.js'
import { ageInWords } from '../format/durations.js'
import { clockTime } from '../format/local-clock.js'
import { stepPath } from '../front-door/steps.js'
import { Failure } from '../parts/failure.js'
import { mayChange } from '../state/access.js'
import { beds, loadGarden, timeZone, today } from '../state/garden.js'
import { figuresAgeMs } from '../state/live-garden.js'
import { clockStyle } from '../state/preferences.js'
import { Patterns } from '../sun/patterns.js'
import { StateKey } from '../sun/state-key.js'
import { TodayLine } from '../tasks/today-line.js'
import { BedRow } from './bed-row.js'
import { learnLostSun } from './lost-sun.js'
import { Warnings } from './warnings.js'

function statesShown(day: Today): Set<SunState> {
  const states = new Set<SunState>(['sun', 'cloud', 'shade'])
  for (const bed of day.beds) for (const segment of bed.sun.segments) states.add(segment.state)
  states.delete('night')
  return states
}

function NoBeds() {
  return (
    <section class="invitation">
      <h2>No beds yet</h2>
      {mayChange.value ? (
        <p>
          Tell the almanac about your beds, then say which node stands in which bed. The first readings appear
          here within a minute of arriving. <a href={stepPath('bed')}>Add a bed</a>
        </p>
      ) : (
        <p>The owner of this garden has told the almanac of no bed yet; there is nothing to look at.</p>
      )}
    </section>
  )
}

export function TodayPage() {
  const { value: day, failure } = today.state.value
  useEffect(() => {
    if (day !== null) learnLostSun(day)
  }, [day])
  if (day === null) {
    return failure === null ? (
      <p class="waiting">Fetching today’s figures …</p>
    ) : (
      <Failure failure={failure} onRetry={loadGarden} />
    )
  }
  const known = beds.state.value.value ?? []
  return (
    <>
      <Warnings />
      {day.beds.length > 0 && <TodayLine />}
      {day.beds.length === 0 ? (
        <NoBeds />
      ) : (
        <>
          {day.beds.map((row) => (
            <BedRow key={row.bed} row={row} bed={known.find((b) => b.id === row.bed) ?? null} />
          ))}
          <Patterns />
          <StateKey states={statesShown(day)} hasHidden />
          <p class="as-of">
            Computed at {clockTime(Date.parse(day.now), timeZone.value, clockStyle.value)},{' '}
            {ageInWords(figuresAgeMs(day))}. Sun hours are time in direct sun, by the World Meteorological
            Organization’s measure.
          </p>
        </>
      )}
    </>
  )
}
