/** The season as a carpet: days across, time of day upwards, with sunrise, sunset and the skyline's cut over it. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { CarpetDay, SunCarpet } from '../../../shared/api/sun.js'
import { onPaletteChange } from '../bed/palette.js'
import { hoursInWords } from '../format/durations.js'
import { dayMonthYear, monthName, shortDate } from '../format/local-clock.js'
import { percent } from '../format/units.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { useWidth } from '../parts/use-width.js'
import { ENOUGH_HOURS } from '../sun/sun-sentence.js'
import { readInks } from './carpet-inks.js'
import { carpetPixels, dayAt, MINUTES_A_DAY, minuteLine, skylineCut } from './carpet-pixels.js'
import { minuteClock } from './minute-clock.js'

/** A day with less of its daylight measured is not counted, as everywhere in the hub. */
const COMPLETE_COVERAGE = 0.8

/** Less than that is within what sun hours and skyline can be known to. */
const CLEARLY_MORE_HOURS = 0.5

const LEFT = 36
const HEIGHT = 300
const AXIS = 24

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
  return (
    `Sun of ${bedName}, ${dayMonthYear(first.date)} to ${dayMonthYear(last.date)}: ` +
    `${enough} of ${measured.length} measured days had six hours of sun or more.`
  )
}

function Woven({ carpet, width }: { readonly carpet: SunCarpet; readonly width: number }) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const [inks, setInks] = useState(readInks)
  useEffect(() => onPaletteChange(() => setInks(readInks())), [])

  useEffect(() => {
    const ratio = devicePixelRatio
    const [w, h] = [Math.round(width * ratio), Math.round(HEIGHT * ratio)]
    const context = canvas.current?.getContext('2d')
    if (canvas.current === null || context === null || context === undefined || w < 1) return
    canvas.current.width = w
    canvas.current.height = h
    const grain = Math.max(1, Math.round(ratio * 1.2))
    context.putImageData(
      new ImageData(carpetPixels(carpet.days, carpet.states, w, h, grain, inks), w, h),
      0,
      0,
    )
  }, [carpet, width, inks])

  return <canvas ref={canvas} class="carpet-canvas" />
}

function Lines({ days, width }: { readonly days: readonly CarpetDay[]; readonly width: number }) {
  const rise = useMemo(() => minuteLine(days, (d) => d.sunriseMin, width, HEIGHT), [days, width])
  const set = useMemo(() => minuteLine(days, (d) => d.sunsetMin, width, HEIGHT), [days, width])
  const cut = useMemo(() => skylineCut(days, width, HEIGHT), [days, width])
  return (
    <>
      <path d={rise} class="carpet-edge" />
      <path d={set} class="carpet-edge" />
      <path d={cut} class="carpet-cut" />
    </>
  )
}

function Axes({ days, width }: { readonly days: readonly CarpetDay[]; readonly width: number }) {
  const hours = [0, 6, 12, 18, 24]
  const months = days.flatMap((d, i) => (d.date.endsWith('-01') ? [{ i, date: d.date }] : []))
  const perMonth = (width / Math.max(1, days.length)) * 30
  return (
    <>
      {hours.map((hour) => {
        const y = HEIGHT - ((hour * 60) / MINUTES_A_DAY) * HEIGHT
        return (
          <g key={hour}>
            <text x={-6} y={Math.min(HEIGHT, Math.max(11, y + 4))} text-anchor="end" class="tick">
              {hour}
            </text>
            <line x1={-4} x2={0} y1={y} y2={y} stroke="var(--rule-strong)" />
          </g>
        )
      })}
      {months.map(({ i, date }) => {
        const x = (i / days.length) * width
        if (x > width - 24) return null
        return (
          <g key={date}>
            <line x1={x} x2={x} y1={HEIGHT} y2={HEIGHT + 5} stroke="var(--rule-strong)" />
            <text x={x + 3} y={HEIGHT + 17} class="tick">
              {monthName(date, perMonth < 70)}
            </text>
          </g>
        )
      })}
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
  const frame = useRef<HTMLDivElement>(null)
  const width = Math.max(0, useWidth(frame) - LEFT)
  const [at, setAt] = useState<number | null>(null)
  const { days } = carpet
  const day = at === null ? undefined : days[at]

  function read(event: PointerEvent): void {
    const box = frame.current?.getBoundingClientRect()
    if (box !== undefined && width > 0) setAt(dayAt(event.clientX - box.left - LEFT, width, days.length))
  }

  function onKeyDown(event: KeyboardEvent): void {
    const steps: Readonly<Record<string, number>> = { ArrowLeft: -1, ArrowRight: 1, PageUp: -7, PageDown: 7 }
    const step = steps[event.key]
    if (step === undefined) return
    event.preventDefault()
    setAt(Math.min(days.length - 1, Math.max(0, (at ?? days.length) + step)))
  }

  return (
    <div class="carpet">
      <p class={day === undefined ? 'readout at-rest' : 'readout'} aria-live="polite">
        {day === undefined ? summary(carpet, bedName) : dayText(day)}
      </p>
      {/* biome-ignore lint/a11y/useSemanticElements: a picture read day by day, not a group of form fields */}
      <div
        ref={frame}
        class="carpet-frame"
        role="group"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys read its days (WCAG 2.1.1)
        tabIndex={0}
        aria-roledescription="carpet of days"
        aria-label={`Carpet of the sun on ${bedName}: left and right arrow keys read its days`}
        onKeyDown={onKeyDown}
        onPointerMove={read}
        onPointerDown={read}
        onPointerLeave={() => setAt(null)}
      >
        {width > 0 && (
          <>
            <Woven carpet={carpet} width={width} />
            <svg
              class="carpet-lines"
              width={width + LEFT}
              height={HEIGHT + AXIS}
              viewBox={`${-LEFT} 0 ${width + LEFT} ${HEIGHT + AXIS}`}
              role="img"
              aria-label={summary(carpet, bedName)}
            >
              <Lines days={days} width={width} />
              <Axes days={days} width={width} />
              {at !== null && (
                <line
                  x1={((at + 0.5) / days.length) * width}
                  x2={((at + 0.5) / days.length) * width}
                  y1={0}
                  y2={HEIGHT}
                  class="carpet-cursor"
                />
              )}
            </svg>
          </>
        )}
      </div>
      <DaysTable days={days} />
    </div>
  )
}
