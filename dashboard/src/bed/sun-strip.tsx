/**
 * The sun beneath the charts, on the same x axis: states while days are wide enough, otherwise a bar of sun hours
 * for each day with the six hours that heading crops want ruled across.
 */
import type { ReadonlySignal } from '@preact/signals'
import { useMemo, useRef } from 'preact/hooks'
import type { BedSun, DayRecord } from '../../../shared/api/measurements.js'
import { localDay } from '../../../shared/local-time.js'
import { hoursInWords } from '../format/durations.js'
import { dayMonthYear } from '../format/local-clock.js'
import { useWidth } from '../parts/use-width.js'
import { fillOf } from '../sun/patterns.js'
import { hoursByState, ribbonBands } from '../sun/ribbon-bands.js'
import { ENOUGH_HOURS, segmentsOf } from '../sun/sun-sentence.js'
import { RIBBON_DAYS } from './bed-data.js'
import { spanOf, type TimeRange } from './range.js'
import { PLOT_LEFT, PLOT_RIGHT } from './time-chart.js'

interface SunStripProps {
  readonly range: TimeRange
  readonly suns: ReadonlyMap<string, BedSun>
  readonly days: readonly DayRecord[] | null
  readonly timeZone: string
  readonly cursor: ReadonlySignal<number | null>
}

const RIBBON_HEIGHT = 34
const BARS_HEIGHT = 96
const DAY_S = 86_400

function Ribbon({ range, suns, width }: SunStripProps & { readonly width: number }) {
  const fromMs = range.fromS * 1000
  const toMs = range.toS * 1000
  const segments = useMemo(
    () => [...suns.values()].flatMap(segmentsOf).sort((a, b) => a.fromMs - b.fromMs),
    [suns],
  )
  const bands = useMemo(() => ribbonBands(segments, fromMs, toMs, width), [segments, fromMs, toMs, width])
  const inView = segments
    .map((s) => ({ ...s, fromMs: Math.max(s.fromMs, fromMs), toMs: Math.min(s.toMs, toMs) }))
    .filter((s) => s.toMs > s.fromMs)
  const { sun } = hoursByState(inView)
  return (
    <svg
      width={width}
      height={RIBBON_HEIGHT}
      role="img"
      aria-label={`Sun states in this stretch of time: ${hoursInWords(sun)} of sun in all.`}
    >
      {bands.map((band) => (
        <rect
          key={band.x0}
          x={band.x0}
          y="2"
          width={band.x1 - band.x0}
          height={RIBBON_HEIGHT - 4}
          fill={fillOf(band.state)}
          data-state={band.state}
        />
      ))}
      <rect
        x="0.5"
        y="2.5"
        width={width - 1}
        height={RIBBON_HEIGHT - 5}
        fill="none"
        stroke="var(--rule-strong)"
      />
    </svg>
  )
}

/** Possible sun hours as one stepped line over the bars. */
function possiblePath(
  records: readonly DayRecord[],
  timeZone: string,
  x: (ms: number) => number,
  y: (hours: number) => number,
  width: number,
): string {
  return records
    .map((record, i) => {
      const { startMs, endMs } = localDay(record.date, timeZone)
      const level = y(record.possibleSunHours).toFixed(1)
      const left = Math.max(0, x(startMs)).toFixed(1)
      return `${i === 0 ? 'M' : 'L'}${left} ${level}H${Math.min(width, x(endMs)).toFixed(1)}`
    })
    .join('')
}

function Bars({ range, days, timeZone, width }: SunStripProps & { readonly width: number }) {
  const records = days ?? []
  const x = (ms: number): number => ((ms / 1000 - range.fromS) / spanOf(range)) * width
  const most = Math.max(
    ENOUGH_HOURS + 2,
    ...records.map((d) => Math.max(d.possibleSunHours, d.sunHours ?? 0)),
  )
  const y = (hours: number): number => BARS_HEIGHT - 4 - (hours / most) * (BARS_HEIGHT - 16)
  const measured = records.filter((d) => d.sunHours !== null)
  const enough = measured.filter((d) => (d.sunHours ?? 0) >= ENOUGH_HOURS).length
  return (
    <svg
      width={width}
      height={BARS_HEIGHT}
      role="img"
      aria-label={`Sun hours of each day: ${enough} of ${measured.length} measured days reach six hours.`}
    >
      {records.map((record) => {
        const { startMs, endMs } = localDay(record.date, timeZone)
        const left = Math.max(0, x(startMs))
        const right = Math.min(width, x(endMs))
        const gap = right - left > 5 ? 1 : 0
        if (right <= left) return null
        return (
          <g key={record.date}>
            <title>
              {dayMonthYear(record.date)}:{' '}
              {record.sunHours === null ? 'not known' : hoursInWords(record.sunHours)} of sun
            </title>
            {record.sunHours !== null && (
              <rect
                x={left}
                y={y(record.sunHours)}
                width={right - left - gap}
                height={y(0) - y(record.sunHours)}
                fill="var(--sun)"
                class={record.provisional ? 'provisional' : undefined}
              />
            )}
          </g>
        )
      })}
      <path d={possiblePath(records, timeZone, x, y, width)} class="possible" />
      <line x1="0" x2={width} y1={y(ENOUGH_HOURS)} y2={y(ENOUGH_HOURS)} class="six" />
      <text x="4" y={y(ENOUGH_HOURS) - 4} class="tick six-word">
        six hours
      </text>
      <line x1="0" x2={width} y1={y(0) + 0.5} y2={y(0) + 0.5} stroke="var(--rule-strong)" />
    </svg>
  )
}

/** The charts' reading cursor, carried on over the strip. */
function CursorLine({ range, cursor }: Pick<SunStripProps, 'range' | 'cursor'>) {
  if (cursor.value === null) return null
  const part = (cursor.value - range.fromS) / spanOf(range)
  return part < 0 || part > 1 ? null : <span class="strip-cursor" style={{ left: `${part * 100}%` }} />
}

export function SunStrip(props: SunStripProps) {
  const frame = useRef<HTMLDivElement>(null)
  const width = useWidth(frame)
  const areStatesShown = spanOf(props.range) <= RIBBON_DAYS * DAY_S
  return (
    <section class="sun-strip">
      <h3>{areStatesShown ? 'Sun on the bed' : 'Sun hours, day by day'}</h3>
      <div
        class={areStatesShown ? 'strip-frame' : 'strip-frame bars'}
        style={{ paddingLeft: `${PLOT_LEFT}px`, paddingRight: `${PLOT_RIGHT}px` }}
      >
        <div ref={frame} class="strip-plot">
          <CursorLine range={props.range} cursor={props.cursor} />
          {width > 0 &&
            (areStatesShown ? <Ribbon {...props} width={width} /> : <Bars {...props} width={width} />)}
        </div>
      </div>
    </section>
  )
}
