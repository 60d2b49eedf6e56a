/** Buttons for the stretch of time shown, and dates for any other. */
import { useState } from 'preact/hooks'
import { addDays, isDate, localDate, startOfDayMs } from '../../../shared/local-time.js'
import { clockTime, shortDate } from '../format/local-clock.js'
import { timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { between, latest, pan, SPANS, spanOf, type TimeRange, zoom } from './range.js'

interface RangeControlsProps {
  readonly range: TimeRange
  readonly nowS: number
  onRange(range: TimeRange): void
}

function DatesForm({ range, nowS, onRange }: RangeControlsProps) {
  const zone = timeZone.value
  const [from, setFrom] = useState(localDate(range.fromS * 1000, zone))
  const [to, setTo] = useState(localDate(range.toS * 1000 - 1, zone))
  const [problem, setProblem] = useState<string | null>(null)

  function problemWith(): string | null {
    if (!isDate(from) || !isDate(to)) return 'Give both dates.'
    if (to < from) return 'The last day lies before the first.'
    return startOfDayMs(from, zone) / 1000 >= nowS ? 'That is still to come.' : null
  }

  function show(event: Event): void {
    event.preventDefault()
    const found = problemWith()
    setProblem(found)
    if (found === null)
      onRange(between(startOfDayMs(from, zone) / 1000, startOfDayMs(addDays(to, 1), zone) / 1000, nowS))
  }

  return (
    <form class="dates" onSubmit={show}>
      <label>
        from <input type="date" value={from} onInput={(e) => setFrom(e.currentTarget.value)} />
      </label>
      <label>
        to <input type="date" value={to} onInput={(e) => setTo(e.currentTarget.value)} />
      </label>
      <button type="submit">Show</button>
      {problem !== null && <span role="alert">{problem}</span>}
    </form>
  )
}

export function RangeControls(props: RangeControlsProps) {
  const { range, nowS, onRange } = props
  const middleS = (range.fromS + range.toS) / 2
  const year = (s: number): string => localDate(s * 1000, timeZone.value).slice(0, 4)
  // the year is told only where it is not this one
  const moment = (s: number): string => {
    const told = year(s) === year(nowS) ? '' : ` ${year(s)}`
    return `${shortDate(localDate(s * 1000, timeZone.value))}${told}, ${clockTime(s * 1000, timeZone.value, clockStyle.value)}`
  }
  return (
    <div class="range">
      <fieldset class="spans">
        <legend class="unseen">Stretch of time</legend>
        {SPANS.map((span) => (
          <button
            key={span.key}
            type="button"
            class="plain"
            aria-pressed={range.isFollowing && spanOf(range) === span.spanS}
            onClick={() => onRange(latest(span.spanS, nowS))}
          >
            {span.label}
          </button>
        ))}
      </fieldset>
      <div class="steps">
        <button type="button" onClick={() => onRange(pan(range, -0.5, nowS))}>
          <span aria-hidden="true">‹</span> Earlier
        </button>
        <button type="button" disabled={range.isFollowing} onClick={() => onRange(pan(range, 0.5, nowS))}>
          Later <span aria-hidden="true">›</span>
        </button>
        <button type="button" aria-label="Zoom in" onClick={() => onRange(zoom(range, 0.5, middleS, nowS))}>
          +
        </button>
        <button type="button" aria-label="Zoom out" onClick={() => onRange(zoom(range, 2, middleS, nowS))}>
          −
        </button>
        {!range.isFollowing && (
          <button type="button" onClick={() => onRange(latest(spanOf(range), nowS))}>
            Now
          </button>
        )}
      </div>
      <p class="shown" data-shown>
        {moment(range.fromS)} to {range.isFollowing ? 'now' : moment(range.toS)}
      </p>
      <details>
        <summary>Other dates, and how to move about</summary>
        <DatesForm {...props} />
        <p class="hint">
          Drag a chart sideways to move; pinch it, or click it and turn the wheel, to zoom. With the keyboard:
          arrows move, + and − zoom, shift with an arrow reads one value after another.
        </p>
      </details>
    </div>
  )
}
