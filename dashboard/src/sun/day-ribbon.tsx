/**
 * A day as a ribbon: sunrise to sunset, the states so far, the present as a fine line, the rest of the day left
 * open. The same extent for every bed of a day, so that rows can be compared down the page.
 */
import { useMemo, useRef } from 'preact/hooks'
import type { BedSun } from '../../../shared/api/measurements.js'
import { startOfDayMs } from '../../../shared/local-time.js'
import { hoursInWords, listInWords } from '../format/durations.js'
import { clockTime } from '../format/local-clock.js'
import { useWidth } from '../parts/use-width.js'
import { clockStyle } from '../state/preferences.js'
import { fillOf, HIDDEN_FILL, STATE_WORDS } from './patterns.js'
import { hoursByState, ribbonBands, tickEveryHours } from './ribbon-bands.js'
import { type Stretch, stillHidden } from './still-hidden.js'
import { segmentsOf } from './sun-sentence.js'

interface DayRibbonProps {
  readonly sun: BedSun
  readonly nowMs: number
  readonly timeZone: string
  readonly bedName: string
  /** when the sun stands behind the bed's skyline that day; hatched where still to come */
  readonly lost?: readonly Stretch[]
}

const BAND_TOP = 6
const BAND_HEIGHT = 30
const HEIGHT = 58
const HOUR_MS = 3_600_000
/** Half of the widest label under the ribbon, px: '12 pm' or '12'. At the ends a label keeps so far from the edge. */
const HALF_LABEL = { '12': 17, '24': 8 } as const
const NONE_LOST: readonly Stretch[] = []

/** From sunrise to sunset; the whole day where the sun does not set or rise. */
function extent(sun: BedSun): { fromMs: number; toMs: number } {
  return { fromMs: Date.parse(sun.sunrise ?? sun.from), toMs: Date.parse(sun.sunset ?? sun.to) }
}

function spoken(sun: BedSun, bedName: string, timeZone: string, hidden: readonly Stretch[]): string {
  const { fromMs, toMs } = extent(sun)
  const clock = (ms: number): string => clockTime(ms, timeZone, clockStyle.value)
  const daylight = segmentsOf(sun)
    .map((s) => ({ ...s, fromMs: Math.max(s.fromMs, fromMs), toMs: Math.min(s.toMs, toMs) }))
    .filter((s) => s.toMs > s.fromMs)
  const hours = hoursByState(daylight)
  const parts = STATE_WORDS.filter(({ state }) => hours[state] * 60 >= 1).map(
    ({ state, word }) => `${hoursInWords(hours[state])} ${word}`,
  )
  const sofar = parts.length === 0 ? 'nothing known yet' : listInWords(parts)
  const times = hidden.map((h) => `${clock(h.fromMs)} to ${clock(h.toMs)}`)
  const behind = times.length === 0 ? '' : ` Still to come, behind the skyline: ${listInWords(times)}.`
  return `${bedName}, the day’s sun from ${clock(fromMs)} to ${clock(toMs)}: ${sofar}.${behind}`
}

export function DayRibbon({ sun, nowMs, timeZone, bedName, lost = NONE_LOST }: DayRibbonProps) {
  const frame = useRef<HTMLDivElement>(null)
  const width = useWidth(frame)
  const { fromMs, toMs } = extent(sun)
  const bands = useMemo(() => ribbonBands(segmentsOf(sun), fromMs, toMs, width), [sun, fromMs, toMs, width])
  const x = (ms: number): number => ((ms - fromMs) / (toMs - fromMs)) * width

  const segments = segmentsOf(sun)
  const hidden = stillHidden(lost, { fromMs, toMs }, Math.max(nowMs, segments.at(-1)?.toMs ?? 0))

  const everyHours = tickEveryHours((toMs - fromMs) / HOUR_MS, width)
  const midnightMs = startOfDayMs(sun.date, timeZone)
  const ticks: number[] = []
  for (let h = 0; h <= 25; h += everyHours) {
    const ms = midnightMs + h * HOUR_MS
    if (ms >= fromMs && ms <= toMs) ticks.push(ms)
  }
  const halfLabel = HALF_LABEL[clockStyle.value]
  const isNowShown = nowMs > fromMs && nowMs < toMs

  return (
    <div class="ribbon" ref={frame}>
      {width > 0 && (
        <svg
          width={width}
          height={HEIGHT}
          viewBox={`0 0 ${width} ${HEIGHT}`}
          role="img"
          aria-label={spoken(sun, bedName, timeZone, hidden)}
        >
          {bands.map((band) => (
            <rect
              key={band.x0}
              x={band.x0}
              y={BAND_TOP}
              width={band.x1 - band.x0}
              height={BAND_HEIGHT}
              fill={fillOf(band.state)}
              data-state={band.state}
            />
          ))}
          {hidden.map((h) => (
            <rect
              key={h.fromMs}
              x={x(h.fromMs)}
              y={BAND_TOP}
              width={x(h.toMs) - x(h.fromMs)}
              height={BAND_HEIGHT}
              fill={HIDDEN_FILL}
              data-mark="hidden"
            />
          ))}
          <rect
            x="0.5"
            y={BAND_TOP + 0.5}
            width={width - 1}
            height={BAND_HEIGHT - 1}
            fill="none"
            stroke="var(--rule-strong)"
          />
          {ticks.map((ms) => (
            <g key={ms}>
              <line
                x1={x(ms)}
                x2={x(ms)}
                y1={BAND_TOP + BAND_HEIGHT}
                y2={BAND_TOP + BAND_HEIGHT + 4}
                stroke="var(--faint)"
              />
              <text
                x={Math.min(width - halfLabel, Math.max(halfLabel, x(ms)))}
                y={HEIGHT - 4}
                text-anchor="middle"
                class="tick"
              >
                {clockTime(ms, timeZone, clockStyle.value).replace(':00', '')}
              </text>
            </g>
          ))}
          {isNowShown && (
            <line
              x1={x(nowMs)}
              x2={x(nowMs)}
              y1={0}
              y2={BAND_TOP + BAND_HEIGHT + 6}
              class="present"
              data-mark="present"
            />
          )}
        </svg>
      )}
    </div>
  )
}
