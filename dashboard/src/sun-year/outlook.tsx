/** The year's outlook: possible and expected sun hours of every day against the six and eight that crops want. */
import { useState } from 'preact/hooks'
import type { SunOutlook } from '../../../shared/api/sun.js'
import { hoursInWords } from '../format/durations.js'
import { dayMonthYear, monthName } from '../format/local-clock.js'
import { DayFrame } from '../parts/day-frame.js'
import { AMPLE_HOURS, ENOUGH_HOURS } from '../sun/sun-sentence.js'
import { byMonth, labelMeaning, labelWords, markSentence } from './outlook-words.js'

const LEFT = 30
const AXIS = 24
const PHONE_PX = 560

type OutlookDay = SunOutlook['days'][number]

interface OutlookProps {
  readonly outlook: SunOutlook
  readonly bedName: string
  /** local date, marked on the curve where it falls in the year */
  readonly today: string
}

function dayText(d: OutlookDay): string {
  const band =
    d.possibleHigh - d.possibleLow < 0.1
      ? ''
      : ` (${hoursInWords(d.possibleLow)} to ${hoursInWords(d.possibleHigh)})`
  const expected =
    d.expectedSunHours === null
      ? ''
      : `, ${hoursInWords(d.expectedSunHours)} to be expected with the usual clouds`
  return `${dayMonthYear(d.date)}: ${hoursInWords(d.possibleSunHours)}${band} possible${expected}.`
}

interface CurvesProps {
  readonly days: readonly OutlookDay[]
  x(i: number): number
  y(hours: number): number
}

function Curves({ days, x, y }: CurvesProps) {
  const line = (of: (d: OutlookDay) => number | null): string => {
    let path = ''
    let isOpen = false
    days.forEach((d, i) => {
      const hours = of(d)
      if (hours !== null) path += `${isOpen ? 'L' : 'M'}${x(i).toFixed(1)} ${y(hours).toFixed(1)}`
      isOpen = hours !== null
    })
    return path
  }
  const upper = days.map((d, i) => `${x(i).toFixed(1)} ${y(d.possibleHigh).toFixed(1)}`)
  const lower = days.map((d, i) => `${x(i).toFixed(1)} ${y(d.possibleLow).toFixed(1)}`).reverse()
  return (
    <>
      <path d={`M${[...upper, ...lower].join('L')}Z`} class="outlook-band" />
      <path d={line((d) => d.possibleSunHours)} class="outlook-possible" />
      <path d={line((d) => d.expectedSunHours)} class="outlook-expected" />
    </>
  )
}

/** A key, not words on the lines: in a shaded bed or under a clear sky the two run into one another. */
function CurvesKey({ hasExpected }: { readonly hasExpected: boolean }) {
  return (
    <ul class="key" aria-label="Key to the curves">
      <li>
        <svg width="26" height="12" aria-hidden="true">
          <rect width="26" height="12" class="outlook-band" />
          <path d="M0 6h26" class="outlook-possible" />
        </svg>
        possible under a clear sky, and how far that is uncertain
      </li>
      {hasExpected && (
        <li>
          <svg width="26" height="12" aria-hidden="true">
            <path d="M0 6h26" class="outlook-expected" />
          </svg>
          to be expected with the usual clouds
        </li>
      )}
    </ul>
  )
}

function MonthTable({ outlook }: { readonly outlook: SunOutlook }) {
  return (
    <details>
      <summary>The outlook as a table</summary>
      <table>
        <thead>
          <tr>
            <th scope="col">month</th>
            <th scope="col">possible</th>
            <th scope="col">between</th>
            <th scope="col">to be expected</th>
          </tr>
        </thead>
        <tbody>
          {byMonth(outlook).map((m) => (
            <tr key={m.date}>
              <th scope="row">{monthName(m.date, false)}</th>
              <td>{hoursInWords(m.possible)}</td>
              <td>
                {hoursInWords(m.low)} and {hoursInWords(m.high)}
              </td>
              <td>{m.expected === null ? '–' : hoursInWords(m.expected)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}

interface PlotProps {
  readonly outlook: SunOutlook
  readonly bedName: string
  readonly width: number
  readonly at: number | null
  readonly todayAt: number
}

function Plot({ outlook, bedName, width, at, todayAt }: PlotProps) {
  const { days } = outlook
  const height = width < PHONE_PX ? 200 : 240
  const most = Math.max(10, ...days.map((d) => d.possibleHigh)) * 1.06
  const x = (i: number): number => ((i + 0.5) / days.length) * width
  const y = (hours: number): number => height - (hours / most) * height
  return (
    <svg
      width={width + LEFT}
      height={height + AXIS}
      viewBox={`${-LEFT} 0 ${width + LEFT} ${height + AXIS}`}
      role="img"
      aria-label={`Possible and expected sun hours of ${bedName} through the year. ${markSentence(outlook, 6)}`}
    >
      {[0, 2, 4, 6, 8, 10, 12, 14, 16].map(
        (hours) =>
          hours < most && (
            <text key={hours} x={-6} y={y(hours) + 4} text-anchor="end" class="tick">
              {hours}
            </text>
          ),
      )}
      <Curves days={days} x={x} y={y} />
      {[ENOUGH_HOURS, AMPLE_HOURS].map((hours) => (
        <g key={hours}>
          <line x1={0} x2={width} y1={y(hours)} y2={y(hours)} class="six" />
          <text x={4} y={y(hours) - 4} class="tick haloed ink">
            {hours === ENOUGH_HOURS ? 'six hours' : 'eight hours'}
          </text>
        </g>
      ))}
      {days.map(
        (d, i) =>
          d.date.endsWith('-01') && (
            <g key={d.date}>
              <line x1={x(i)} x2={x(i)} y1={height} y2={height + 4} stroke="var(--rule-strong)" />
              <text x={x(i) + 2} y={height + 17} class="tick">
                {width < PHONE_PX ? monthName(d.date, true).charAt(0) : monthName(d.date, true)}
              </text>
            </g>
          ),
      )}
      {todayAt >= 0 && (
        <g>
          <line x1={x(todayAt)} x2={x(todayAt)} y1={0} y2={height} class="present" />
          <text
            x={x(todayAt) + (todayAt > days.length * 0.85 ? -4 : 4)}
            y={height - 6}
            text-anchor={todayAt > days.length * 0.85 ? 'end' : 'start'}
            class="tick haloed ink"
          >
            today
          </text>
        </g>
      )}
      {at !== null && <line x1={x(at)} x2={x(at)} y1={0} y2={height} class="carpet-cursor" />}
      <line x1={0} x2={width} y1={height} y2={height} stroke="var(--ink)" />
    </svg>
  )
}

export function Outlook({ outlook, bedName, today }: OutlookProps) {
  const [at, setAt] = useState<number | null>(null)
  const { days } = outlook
  const todayAt = days.findIndex((d) => d.date === today)
  const read = at === null ? undefined : days[at]
  const labels = labelWords(outlook)

  return (
    <div class="outlook">
      <p>
        {markSentence(outlook, 6)} {markSentence(outlook, 8)}
      </p>
      {labels !== '' && (
        <p>
          The bed has {labels}. {labelMeaning(outlook)}
        </p>
      )}
      <p class={read === undefined ? 'readout at-rest' : 'readout'} aria-live="polite">
        {read === undefined ? 'Point at the curve, or use the arrow keys, to read a day.' : dayText(read)}
      </p>
      <DayFrame
        class="outlook-frame"
        kind="curve of days"
        label={`Outlook of the sun on ${bedName}`}
        days={days.length}
        left={LEFT}
        at={at}
        restAt={Math.max(0, todayAt)}
        stride={30}
        onRead={setAt}
      >
        {(width) => <Plot {...{ outlook, bedName, width, at, todayAt }} />}
      </DayFrame>
      <CurvesKey hasExpected={days.some((d) => d.expectedSunHours !== null)} />
      <MonthTable outlook={outlook} />
    </div>
  )
}
