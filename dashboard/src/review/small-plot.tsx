/** One of many small plots on the same scales: its own curve, and all the others faint behind it. */
import { addDays } from '../../../shared/local-time.js'
import { monthName } from '../format/local-clock.js'
import { figure, showDegreeDays, shownDegreeDays, type TempUnit, toShown } from '../format/units.js'
import { tempUnit } from '../state/preferences.js'
import type { Along, Curve, Measure } from './alignment.js'

const WIDTH = 224
const HEIGHT = 120
const LEFT = 34
const AXIS = 20

export interface Scale {
  readonly x: { readonly low: number; readonly high: number }
  readonly y: { readonly low: number; readonly high: number }
}

const xOf = ({ x }: Scale, value: number): number => ((value - x.low) / (x.high - x.low)) * WIDTH
const yOf = ({ y }: Scale, value: number): number => HEIGHT - ((value - y.low) / (y.high - y.low)) * HEIGHT

export function pathOf({ x, y }: Curve, scale: Scale): string {
  let path = ''
  let isOpen = false
  // along degree days many days of frost fall onto one spot; along a year a point a pixel is enough
  let last = Number.NEGATIVE_INFINITY
  y.forEach((value, i) => {
    const at = xOf(scale, x[i] ?? 0)
    if (value === null) {
      isOpen = false
      return
    }
    if (isOpen && at - last < 0.7 && i < y.length - 1) return
    path += `${isOpen ? 'L' : 'M'}${at.toFixed(1)} ${yOf(scale, value).toFixed(1)}`
    isOpen = true
    last = at
  })
  return path
}

function shownFigure(value: number, measure: Measure, unit: TempUnit): string {
  if (measure === 'warmth') return figure(toShown(value, '°C', unit), 0)
  if (measure === 'degree-days') return figure(shownDegreeDays(value, unit), 0)
  return figure(value, 0)
}

interface PlotProps {
  readonly curve: Curve
  readonly behind: string
  readonly scale: Scale
  readonly measure: Measure
  readonly along: Along
  /** days of the year on which a month begins; empty where it does not lie along the calendar */
  readonly months: readonly number[]
}

/** Day of the year to its date in a year without a leap day. */
const dateOfDay = (day: number): string => addDays('2027-01-01', Math.round(day) - 1)

/** First days of the months within a scale of days of the year. */
export const monthStarts = ({ x }: Scale): number[] =>
  Array.from({ length: Math.ceil(x.high - x.low) }, (_, i) => Math.ceil(x.low) + i).filter((day) =>
    dateOfDay(day).endsWith('-01'),
  )

export function Plot({ curve, behind, scale, measure, along, months }: PlotProps) {
  const unit = tempUnit.value
  const ends = [scale.y.low, scale.y.high]
  const known = curve.y.filter((value) => value !== null)
  const every = Math.max(1, Math.ceil(months.length / 6))
  return (
    <figure class="small-plot">
      <figcaption>{curve.name}</figcaption>
      <svg
        width={WIDTH + LEFT}
        height={HEIGHT + AXIS + 8}
        viewBox={`${-LEFT} -8 ${WIDTH + LEFT} ${HEIGHT + AXIS + 8}`}
        role="img"
        aria-label={
          known.length === 0
            ? `${curve.name}: not measured`
            : `${curve.name}: from ${shownFigure(Math.min(...known), measure, unit)} to ${shownFigure(Math.max(...known), measure, unit)}`
        }
      >
        {ends.map((value) => (
          <g key={value}>
            <line x1={0} x2={WIDTH} y1={yOf(scale, value)} y2={yOf(scale, value)} class="lane-rule" />
            <text x={-5} y={yOf(scale, value) + 4} text-anchor="end" class="tick">
              {shownFigure(value, measure, unit)}
            </text>
          </g>
        ))}
        <path d={behind} class="small-behind" />
        <path d={pathOf(curve, scale)} class="small-line" />
        {known.length === 0 && (
          <text x={WIDTH / 2} y={HEIGHT / 2} text-anchor="middle" class="tick">
            not measured
          </text>
        )}
        {months.map(
          (day, i) =>
            i % every === 0 &&
            xOf(scale, day) < WIDTH - 20 && (
              <g key={day}>
                <line
                  x1={xOf(scale, day)}
                  x2={xOf(scale, day)}
                  y1={HEIGHT}
                  y2={HEIGHT + 4}
                  stroke="var(--rule-strong)"
                />
                <text x={xOf(scale, day) + 2} y={HEIGHT + 16} class="tick">
                  {monthName(dateOfDay(day), true)}
                </text>
              </g>
            ),
        )}
        {along === 'degree-days' &&
          [scale.x.low, scale.x.high].map((sumC, i) => (
            <text
              key={sumC}
              x={i === 0 ? 0 : WIDTH}
              y={HEIGHT + 16}
              text-anchor={i === 0 ? 'start' : 'end'}
              class="tick"
            >
              {i === 0 ? '0' : showDegreeDays(sumC, unit)}
            </text>
          ))}
      </svg>
    </figure>
  )
}
