/**
 * The picture of a crop's year: every week of sowing with what it risks, the good windows as ribbons from sowing to the last cut,
 * and the usual warmth above them. A finger or an arrow key reads a week.
 */
import { useRef } from 'preact/hooks'
import type { Plan, PlanWay, PlanWeek, PlanWindow } from '../../../shared/api/plan.js'
import { dayMonth, dayMonthYear, monthName } from '../format/local-clock.js'
import { figure, toShown } from '../format/units.js'
import { useWidth } from '../parts/use-width.js'
import { tempUnit } from '../state/preferences.js'
import { PhaseKey, phaseFill } from './plan-patterns.js'
import { windowTitle } from './plan-words.js'
import { monthStarts, segmentsOf, shownDays, weekAt, type YearScale, yearScale } from './year-scale.js'
import {
  GOOD_PX,
  GoodStrip,
  LABEL_PX,
  MEAN_PX,
  MeanCurve,
  RiskStrip,
  riskKinds,
  STRIP_PX,
} from './year-strips.js'

const AXIS_PX = 22
const GAP_PX = 10
const RIBBON_PX = 16
const PHONE_PX = 560
/** A letter's width, at most: words that would be cut off at the edge are left out. */
const LETTER_PX = 9

interface YearPictureProps {
  readonly plan: Plan
  readonly way: PlanWay
  /** the weeks of that way */
  readonly weeks: readonly PlanWeek[]
  /** place of the week that is read */
  readonly at: number
  onRead(at: number): void
}

interface Row {
  readonly title: string
  readonly week: PlanWeek
  readonly window: PlanWindow | null
}

function Axis({ scale, height }: { readonly scale: YearScale; readonly height: number }) {
  const isNarrow = scale.width < PHONE_PX
  const words = (date: string): string => {
    if (isNarrow) return monthName(date, true).charAt(0)
    return date.endsWith('01-01') ? date.slice(0, 4) : monthName(date, true)
  }
  return (
    <g>
      {monthStarts(scale).map((date) => (
        <g key={date}>
          <line
            x1={scale.x(date)}
            x2={scale.x(date)}
            y1={AXIS_PX - 4}
            y2={height}
            class={date.endsWith('01-01') ? 'plan-year' : 'plan-month'}
          />
          {scale.x(date) + 2 + words(date).length * LETTER_PX <= scale.width && (
            <text x={scale.x(date) + 2} y={14} class="tick">
              {words(date)}
            </text>
          )}
        </g>
      ))}
    </g>
  )
}

function Ribbon({ row, scale, top }: { readonly row: Row; readonly scale: YearScale; readonly top: number }) {
  const y = top + LABEL_PX
  const { window, week } = row
  const left = scale.x(week.sowOn)
  // over its ribbon, and within the picture
  const isLate = left > scale.width / 2
  return (
    <g>
      <text
        x={isLate ? scale.width : left}
        y={top + 12}
        text-anchor={isLate ? 'end' : 'start'}
        class="tick ink haloed"
      >
        {row.title}
      </text>
      {segmentsOf(week).map(({ phase, from, to }) => (
        <rect
          key={phase}
          x={scale.x(from)}
          y={y}
          width={Math.max(0, scale.x(to) - scale.x(from))}
          height={RIBBON_PX}
          fill={phaseFill(phase)}
          stroke="var(--line-other)"
        />
      ))}
      {window !== null && (
        <g class="plan-bracket">
          <path d={bracket(scale.x(window.sowFrom), scale.x(window.sowTo), y + RIBBON_PX + 5)} />
          {window.plantOutFrom !== null && window.plantOutTo !== null && (
            <path d={bracket(scale.x(window.plantOutFrom), scale.x(window.plantOutTo), y + RIBBON_PX + 10)} />
          )}
        </g>
      )}
    </g>
  )
}

/** A span marked under a ribbon: with ends, so that it reads in print. */
const bracket = (from: number, to: number, y: number): string =>
  `M${from.toFixed(1)} ${y - 2}v4M${from.toFixed(1)} ${y}H${Math.max(from + 1, to).toFixed(1)}m0 -2v4`

export function YearPicture({ plan, way, weeks, at, onRead }: YearPictureProps) {
  const frame = useRef<HTMLDivElement>(null)
  const width = useWidth(frame)
  const windows = plan.windows.filter((window) => window.way === way)
  const scale = yearScale(plan.from, shownDays(plan.from, windows), width)
  const risks = riskKinds(plan)
  const read = weeks[at]
  const unit = tempUnit.value
  const temp = (tempC: number): string => figure(toShown(tempC, '°C', unit), 0)

  const rows: Row[] = [
    ...windows.map((window): Row => ({ title: windowTitle(window), week: window.best, window })),
    ...(read === undefined
      ? []
      : [{ title: `the week read: sown ${dayMonth(read.sowOn)}`, week: read, window: null }]),
  ]
  const rowPx = LABEL_PX + RIBBON_PX + 14 + GAP_PX
  const goodTop = AXIS_PX
  const risksTop = goodTop + LABEL_PX + GOOD_PX + GAP_PX
  const riskPx = LABEL_PX + STRIP_PX + GAP_PX
  const meanTop = risksTop + risks.length * riskPx
  const ribbonsTop = meanTop + LABEL_PX + MEAN_PX + GAP_PX
  const height = ribbonsTop + rows.length * rowPx

  function point(event: PointerEvent): void {
    const box = frame.current?.getBoundingClientRect()
    if (box !== undefined && width > 0) onRead(weekAt(event.clientX - box.left, scale, weeks.length))
  }

  function onKeyDown(event: KeyboardEvent): void {
    const steps: Readonly<Record<string, number>> = { ArrowLeft: -1, ArrowRight: 1, PageUp: -4, PageDown: 4 }
    const ends: Readonly<Record<string, number>> = { Home: 0, End: weeks.length - 1 }
    const step = steps[event.key]
    const to = ends[event.key] ?? (step === undefined ? undefined : at + step)
    if (to === undefined) return
    event.preventDefault()
    onRead(Math.min(weeks.length - 1, Math.max(0, to)))
  }

  return (
    <>
      {/* biome-ignore lint/a11y/useSemanticElements: a picture read week by week, not a group of form fields */}
      <div
        ref={frame}
        class="plan-frame"
        style={`--plan-height: ${height}px`}
        role="group"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys read its weeks (WCAG 2.1.1)
        tabIndex={0}
        aria-roledescription="picture of a year"
        aria-label={`The year of ${plan.cropName}: left and right arrow keys read its weeks of sowing`}
        onKeyDown={onKeyDown}
        onPointerDown={point}
        onPointerMove={(event) => {
          // a mouse only points while its button is down: what was chosen must stay
          if (event.pointerType !== 'mouse' || event.buttons > 0) point(event)
        }}
      >
        {width > 0 && (
          <svg
            width={width}
            height={height}
            viewBox={`0 0 ${width} ${height}`}
            role="img"
            aria-label={`${plan.cropName} from ${dayMonthYear(plan.from)}: ${windows.map(windowTitle).join('; ') || 'no window'}.`}
          >
            <Axis scale={scale} height={height} />
            {/* under the words, which have a halo */}
            {read !== undefined && (
              <path
                d={`M${(scale.x(read.sowOn) + (3.5 / scale.days) * width).toFixed(1)} ${AXIS_PX - 4}V${height}`}
                class="plan-cursor"
              />
            )}
            <GoodStrip weeks={weeks} scale={scale} top={goodTop} />
            {risks.map((kind, i) => (
              <RiskStrip key={kind.key} kind={kind} weeks={weeks} scale={scale} top={risksTop + i * riskPx} />
            ))}
            <MeanCurve
              plan={plan}
              scale={scale}
              top={meanTop}
              label={`usual mean; the band suits it best, ${temp(plan.bestMeanFromC)} to ${temp(plan.bestMeanToC)} °${unit}`}
            />
            {rows.map((row, i) => (
              <Ribbon key={row.title} row={row} scale={scale} top={ribbonsTop + i * rowPx} />
            ))}
          </svg>
        )}
      </div>
      <PhaseKey isUnderCover={way === 'under cover'} />
      <p class="aside">
        Risks stand as high as they are frequent: filled where harm is likely, the line above it where it is
        worth a look. Under a window’s ribbon, which is drawn for its best week, the brackets span its sowing
        {way === 'under cover' && ', and below that its planting out'}.
      </p>
    </>
  )
}
