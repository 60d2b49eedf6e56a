/** Look back: what a season, or several, gave; what stands out; each planting's season; side by side. Made to be printed. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { SeasonReview } from '../../../shared/api/review.js'
import { isDate, localDate } from '../../../shared/local-time.js'
import { Failure } from '../parts/failure.js'
import { Trouble } from '../parts/trouble.js'
import { useOneByOne } from '../parts/use-one-by-one.js'
import { HEAT_COUNTED } from '../planting/dose-words.js'
import { go } from '../routes.js'
import { garden, timeZone } from '../state/garden.js'
import { lengthUnit, tempUnit } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { ComparisonPlots } from './comparison-plots.js'
import { HeadsSection } from './heads-section.js'
import { PlantingReview } from './planting-review.js'
import { type ReviewAddress, reviewAddressIn, reviewPath, seasonChoices } from './review-address.js'
import { reviewData } from './review-data.js'
import { periodText, seasonSentences, standingOut } from './review-words.js'
import { offerFile, reviewFile } from './save-file.js'

interface ChoiceProps {
  readonly address: ReviewAddress
  readonly since: string | null
  readonly today: string
  readonly isSouth: boolean
}

/** Whole seasons by a touch, other times by dates. */
function TimeChoice({ address, since, today, isSouth }: ChoiceProps) {
  const [from, setFrom] = useState(address.from)
  const [to, setTo] = useState(address.to)
  const [problem, setProblem] = useState<string | null>(null)
  const choices = seasonChoices(since, today, isSouth)

  function submit(event: Event): void {
    event.preventDefault()
    if (!isDate(from) || !isDate(to)) setProblem('Give both dates.')
    else if (to < from) setProblem('The last day lies before the first.')
    else go(reviewPath({ ...address, from, to }))
  }

  return (
    <div class="time-choice not-in-file">
      <nav aria-label="Seasons" class="season-links">
        {choices.map((season) => (
          <a
            key={season.name}
            href={reviewPath({ from: season.from, to: season.to, planting: null })}
            aria-current={season.from === address.from && season.to === address.to ? 'true' : undefined}
          >
            {season.name}
          </a>
        ))}
      </nav>
      <details>
        <summary>Other dates</summary>
        <form class="pair" onSubmit={submit} aria-label="Time to look back over" noValidate>
          <label>
            from{' '}
            <input
              type="date"
              value={from}
              aria-invalid={problem !== null}
              onInput={(event) => setFrom(event.currentTarget.value)}
            />
          </label>
          <label>
            to{' '}
            <input
              type="date"
              value={to}
              aria-invalid={problem !== null}
              onInput={(event) => setTo(event.currentTarget.value)}
            />
          </label>
          <button type="submit">Look back</button>
          <Trouble text={problem} />
        </form>
      </details>
    </div>
  )
}

/** What to do when there is nothing to look back on. */
function NothingYet({ review }: { readonly review: SeasonReview }) {
  const hasDays = review.beds.some(({ days }) => days.date.length > 0)
  return (
    <div class="invitation">
      <p>
        <b>There is no planting to look back on in this time.</b>{' '}
        {review.since === null
          ? 'The almanac has just begun.'
          : 'Choose another season above, or enter what grew here.'}
      </p>
      <p>
        Next: <a href="/garden">write down what is planted</a>
        {hasDays ? '' : ', put a node into a bed'}, and tell the <a href="/journal">journal</a> what you do,
        see and cut. When the season is over, it is all here.
      </p>
    </div>
  )
}

function Reviewed({ review, address }: { readonly review: SeasonReview; readonly address: ReviewAddress }) {
  const page = useRef<HTMLDivElement>(null)
  const name = garden.value?.name ?? 'Garden'
  const period = periodText(review.from, review.to)
  const { plantings } = review
  // the plantings, and what compares them
  const drawn = useOneByOne(plantings.length + 1)
  const isWhole = drawn === plantings.length + 1
  const told = standingOut(review, tempUnit.value)

  function save(): void {
    if (page.current === null) return
    const title = `${name}: ${period}`
    offerFile(reviewFile(page.current, title), `${review.from}-to-${review.to}-look-back.html`)
  }

  return (
    <div ref={page} class="review-page-body">
      {plantings.length === 0 && <NothingYet review={review} />}
      <div class="review-lead">
        {seasonSentences(review, lengthUnit.value).map((sentence, i) => (
          <p key={sentence} class={i === 1 ? 'say lead' : 'say'}>
            {sentence}
          </p>
        ))}
      </div>
      {told.length > 0 && (
        <section class="review-part">
          <h3>What stands out</h3>
          <ul>
            {told.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
          {plantings.some(({ doses }) => doses.heat !== null && doses.heat.amount > 0) && (
            <p class="hint">{HEAT_COUNTED}</p>
          )}
        </section>
      )}
      {address.planting === null && <HeadsSection review={review} />}
      <p class="keep not-in-file">
        <button type="button" disabled={!isWhole} onClick={() => print()}>
          Print
        </button>{' '}
        <button type="button" disabled={!isWhole} onClick={save}>
          Save as a file
        </button>{' '}
        <span class="hint">The file needs no connection and no program but a browser.</span>
      </p>
      {plantings.slice(0, drawn).map((one) => (
        <PlantingReview key={one.planting} one={one} head={`${name} · ${period}`} />
      ))}
      {isWhole && address.planting === null && review.beds.some(({ days }) => days.date.length > 1) && (
        <ComparisonPlots review={review} />
      )}
    </div>
  )
}

export function ReviewPage() {
  const today = localDate(nowMs.peek(), timeZone.value)
  const isSouth = (garden.value?.latitudeDeg ?? 0) < 0
  const address = useMemo(() => reviewAddressIn(location.search, today, isSouth), [today, isSouth])
  const data = useMemo(() => reviewData(address), [address])
  const { value: review, failure } = data.review.state.value
  useEffect(() => void data.review.reload(), [data])
  const progress = data.progress.value

  return (
    <section class="review-page">
      <div class="page-title">
        <h2>
          Look back<span class="print-only">: {periodText(address.from, address.to)}</span>
        </h2>
        <p class="bed-links">{periodText(address.from, address.to)}</p>
      </div>
      <TimeChoice address={address} since={review?.since ?? null} today={today} isSouth={isSouth} />
      {failure !== null && <Failure failure={failure} onRetry={() => void data.review.reload()} />}
      {review === null && failure === null && (
        <p class="waiting" aria-live="polite">
          Adding up the days …
          {progress !== null &&
            ` ${progress.done} of ${progress.of} parts done; the first time takes a while.`}
        </p>
      )}
      {review !== null && <Reviewed key={`${review.from}/${review.to}`} review={review} address={address} />}
    </section>
  )
}
