/** One planting looked back upon: words, the season on one time axis, stages and doses, warnings, journal. */
import type { ReviewPlanting } from '../../../shared/api/review.js'
import { localDate } from '../../../shared/local-time.js'
import { hoursInWords } from '../format/durations.js'
import { dayMonth } from '../format/local-clock.js'
import { capital } from '../format/sentences.js'
import { figure, showDegreeDays, showTemperature, temperaturesInText } from '../format/units.js'
import { entrySentence } from '../journal/journal-words.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { plantingName, withDates } from '../planting/planting-words.js'
import { plantingPath } from '../routes.js'
import { timeZone } from '../state/garden.js'
import { lengthUnit, tempUnit } from '../state/preferences.js'
import { journalDates } from './journal-numbers.js'
import { PlantingTimeline } from './planting-timeline.js'
import { coverageText, harvestSentence, plantingLine } from './review-words.js'

function Stages({ one }: { readonly one: ReviewPlanting }) {
  const unit = tempUnit.value
  if (one.stages.length === 0) return null
  return (
    <ScrollTable label="Its stages">
      <table class="stage-shares">
        <caption>Stages by degree days and journal</caption>
        <thead>
          <tr>
            <th scope="col">stage</th>
            <th scope="col">from</th>
            <th scope="col">days</th>
            <th scope="col">sun a day</th>
            <th scope="col">mean</th>
            <th scope="col">degree days</th>
            <th scope="col">heat</th>
            <th scope="col">chill</th>
          </tr>
        </thead>
        <tbody>
          {one.stages.map((share) => (
            <tr key={share.stage}>
              <th scope="row">{share.stageName}</th>
              <td>{dayMonth(share.from)}</td>
              <td>{share.days}</td>
              <td>{share.sunHours === null ? '–' : hoursInWords(share.sunHours)}</td>
              <td>{share.meanC === null ? '–' : showTemperature(share.meanC, unit)}</td>
              <td>{share.degreeDaysC === null ? '–' : showDegreeDays(share.degreeDaysC, unit)}</td>
              <td>{share.heatHours === null ? '–' : `${figure(share.heatHours, 0)}\u00a0h`}</td>
              <td>{share.chillHours === null ? '–' : `${figure(share.chillHours, 0)}\u00a0h`}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollTable>
  )
}

const LEVEL_WORDS = { none: 'within bounds', watch: 'worth a look', likely: 'harm likely' } as const

function Doses({ one }: { readonly one: ReviewPlanting }) {
  const { heat, chill, warmDays } = one.doses
  const doses = [
    ...(heat === null ? [] : [{ name: 'heat', dose: heat }]),
    ...(chill === null ? [] : [{ name: 'chill', dose: chill }]),
    ...(warmDays === null ? [] : [{ name: 'warm, long days', dose: warmDays }]),
  ]
  if (doses.length === 0) return null
  return (
    <ul class="dose-list">
      {doses.map(({ name, dose }) => (
        <li key={name}>
          <b>
            {capital(name)}: {LEVEL_WORDS[dose.level]}.
          </b>{' '}
          {withDates(temperaturesInText(dose.words, tempUnit.value))}
        </li>
      ))}
    </ul>
  )
}

/** The garden's day of an instant. */
const dayOf = (iso: string): string => dayMonth(localDate(Date.parse(iso), timeZone.value))

function Warnings({ one }: { readonly one: ReviewPlanting }) {
  if (one.warnings.length === 0) return <p class="none">No warning was raised for it.</p>
  return (
    <ul class="past-list">
      {one.warnings.map((warning) => (
        <li key={warning.id}>
          <span class="when">
            {dayOf(warning.raisedAt)}
            {warning.clearedAt === null ? ', still standing' : ` to ${dayOf(warning.clearedAt)}`}:
          </span>{' '}
          {withDates(temperaturesInText(warning.headline, tempUnit.value))}
        </li>
      ))}
    </ul>
  )
}

function Journal({ one }: { readonly one: ReviewPlanting }) {
  const days = journalDates(one)
  if (days.length === 0) {
    return (
      <p class="none">
        The journal says nothing of it.{' '}
        <a href={`/journal?planting=${encodeURIComponent(one.planting)}`}>
          Write what was cut, and what it weighed
        </a>
        : a season can only be compared by what was written down.
      </p>
    )
  }
  return (
    <ol class="past-list numbered">
      {days.map(({ number, on, entries }) => (
        <li key={on} value={number}>
          <span class="when">{dayMonth(on)}:</span>{' '}
          {entries.map((entry) => (
            <span key={entry.id}>
              {entrySentence(entry, lengthUnit.value, one.forms)} {entry.note !== null && (
                <i>{entry.note}</i>
              )}{' '}
            </span>
          ))}
        </li>
      ))}
    </ol>
  )
}

interface PlantingReviewProps {
  readonly one: ReviewPlanting
  /** the garden and the time, for the top of a printed page */
  readonly head: string
}

export function PlantingReview({ one, head }: PlantingReviewProps) {
  const name = plantingName(one.cropName, one.variety)
  const began = one.days.date[0]
  return (
    <section class="review-part planting-review" aria-label={`${name} in ${one.bedName}`}>
      <p class="print-only running-head">{head}</p>
      <h3>
        <a href={plantingPath(one.planting)}>{name}</a> in {one.bedName}
        {began === undefined ? '' : `, ${began.slice(0, 4)}`}
      </h3>
      <p class="sub">{plantingLine(one, lengthUnit.value)}</p>
      <p class="say">
        <b>{harvestSentence(one, lengthUnit.value)}</b>{' '}
        {one.days.date.length > 0 && <span class="aside">{capital(coverageText(one.coverage))}.</span>}
      </p>
      {began === undefined ? (
        <p class="none">Without the date it was sown or planted out there are no days to draw.</p>
      ) : (
        <PlantingTimeline one={one} name={`${name} in ${one.bedName}`} />
      )}
      <Stages one={one} />
      <Doses one={one} />
      <div class="beside-each-other">
        <div>
          <h4>Warned of</h4>
          <Warnings one={one} />
        </div>
        <div>
          <h4>Journal</h4>
          <Journal one={one} />
        </div>
      </div>
    </section>
  )
}
