/** A planting's whole season on one time axis: sun, warmth, degree days, heat and chill, warnings, journal, harvest. */
import { useMemo, useState } from 'preact/hooks'
import type { ReviewPlanting } from '../../../shared/api/review.js'
import { addDays, daysBetween, localDate } from '../../../shared/local-time.js'
import { KIND_WORDS } from '../../../shared/warning-kind-words.js'
import { monthName } from '../format/local-clock.js'
import { figure, shownDegreeDays, toShown } from '../format/units.js'
import { weightWords } from '../journal/journal-words.js'
import { DayFrame } from '../parts/day-frame.js'
import { timeZone } from '../state/garden.js'
import { lengthUnit, tempUnit } from '../state/preferences.js'
import { journalDates } from './journal-numbers.js'
import {
  bandPath,
  barsPath,
  dayX,
  extentOf,
  type Lane,
  laneY,
  linePath,
  rowsFor,
  stepsPath,
} from './lanes.js'
import { dayText, harvestSentence } from './review-words.js'

const LEFT = 56
/** A season drawn wider than this says no more; on paper there is less. */
const MOST_PX = 1040

/** Edges of the lanes from above, px. */
const STAGES = { top: 0, bottom: 34 }
const SUN = { top: 44, bottom: 112 }
const WARMTH = { top: 126, bottom: 214 }
const SUM = { top: 228, bottom: 272 }
const DOSES = { top: 286, bottom: 326 }
const WARNED = { top: 336, bottom: 354 }
const JOURNAL = { top: 360, bottom: 396 }
const YIELD = { top: 402, bottom: 438 }
const AXIS = 462

const MOST_SUN = 16
const CHAR_PX = 7
/** Words over the lanes are cut short below this. */
const NARROW_PX = 460

interface LaneProps {
  readonly one: ReviewPlanting
  readonly width: number
}

const laneOf = (
  { one, width }: LaneProps,
  edges: { readonly top: number; readonly bottom: number },
  low: number,
  high: number,
): Lane => ({ days: one.days.date.length, width, ...edges, low, high })

function Label({ edges, words }: { readonly edges: { readonly top: number }; readonly words: string }) {
  return (
    <text x={4} y={edges.top + 10} class="tick haloed lane-name">
      {words}
    </text>
  )
}

function Ticks({
  lane,
  values,
  text,
}: {
  readonly lane: Lane
  readonly values: readonly number[]
  text(value: number): string
}) {
  return (
    <>
      {values.map((value) => (
        <g key={value}>
          <line x1={0} x2={lane.width} y1={laneY(lane, value)} y2={laneY(lane, value)} class="lane-rule" />
          <text x={-6} y={laneY(lane, value) + 4} text-anchor="end" class="tick">
            {text(value)}
          </text>
        </g>
      ))}
    </>
  )
}

function Sun(props: LaneProps) {
  const lane = laneOf(props, SUN, 0, MOST_SUN)
  const { days } = props.one
  return (
    <>
      <Ticks lane={lane} values={[0, 6, 12]} text={String} />
      <path d={barsPath(lane, days.sunHours)} class="lane-sun" />
      <path d={stepsPath(lane, days.possibleSunHours)} class="lane-possible" />
      <Label
        edges={SUN}
        words={props.width < NARROW_PX ? 'sun, h; line: possible' : 'sun, h a day; the line: possible'}
      />
    </>
  )
}

function airWords(unit: string, hasLimit: boolean, isNarrow: boolean): string {
  if (isNarrow) return `air, °${unit}${hasLimit ? '; dashed: heat limit' : ''}`
  return `air, °${unit}: lowest to highest, mean${hasLimit ? '; dashed: its heat limit' : ''}`
}

function Warmth(props: LaneProps) {
  const { days, heatAboveC } = props.one
  const unit = tempUnit.value
  const { low, high } = extentOf([days.minC, days.maxC], 10)
  const lane = laneOf(props, WARMTH, low, high)
  const marks = Array.from({ length: (high - low) / 10 + 1 }, (_, i) => low + 10 * i)
  return (
    <>
      <Ticks lane={lane} values={marks} text={(valueC) => figure(toShown(valueC, '°C', unit), 0)} />
      <path d={bandPath(lane, days.minC, days.maxC)} class="lane-band" />
      <path d={linePath(lane, days.meanC)} class="lane-mean" />
      {heatAboveC !== null && heatAboveC <= high && (
        <line
          x1={0}
          x2={lane.width}
          y1={laneY(lane, heatAboveC)}
          y2={laneY(lane, heatAboveC)}
          class="lane-limit"
        />
      )}
      <Label edges={WARMTH} words={airWords(unit, heatAboveC !== null, props.width < NARROW_PX)} />
    </>
  )
}

function Sum(props: LaneProps) {
  const { days } = props.one
  const unit = tempUnit.value
  const { high } = extentOf([days.degreeDaysC], 100)
  const lane = laneOf(props, SUM, 0, high)
  const shown = (valueC: number): string => figure(shownDegreeDays(valueC, unit), 0)
  return (
    <>
      <Ticks lane={lane} values={[0, high]} text={shown} />
      <path d={linePath(lane, days.degreeDaysC)} class="lane-sum" />
      <Label edges={SUM} words={`degree days, °${unit}·d`} />
    </>
  )
}

function Doses(props: LaneProps) {
  const { days } = props.one
  const { high } = extentOf([days.heatHours, days.chillHours], 6)
  const lane = laneOf(props, { top: DOSES.top, bottom: (DOSES.top + DOSES.bottom) / 2 }, 0, high)
  const below: Lane = { ...lane, top: DOSES.bottom, bottom: (DOSES.top + DOSES.bottom) / 2 }
  return (
    <>
      <line x1={0} x2={lane.width} y1={lane.bottom} y2={lane.bottom} class="lane-rule" />
      <text x={-6} y={DOSES.top + 9} text-anchor="end" class="tick">
        {high}
      </text>
      <text x={-6} y={DOSES.bottom + 2} text-anchor="end" class="tick">
        {high}
      </text>
      <path d={barsPath(lane, days.heatHours)} class="lane-heat" />
      <path d={barsPath(below, days.chillHours)} class="lane-chill" />
      <Label
        edges={DOSES}
        words={props.width < NARROW_PX ? 'h: heat up, chill down' : 'h a day: heat upwards, chill downwards'}
      />
    </>
  )
}

function Stages({ one, width }: LaneProps) {
  const lane = { days: one.days.date.length, width }
  const marks = one.stages.map(({ stage, stageName, from }) => {
    const x = dayX(lane, daysBetween(one.days.date[0] ?? from, from))
    return { stage, stageName, x, width: stageName.length * CHAR_PX + 8 }
  })
  const rows = rowsFor(
    marks.map((mark) => ({ ...mark, x: Math.min(mark.x, width - mark.width) })),
    2,
  )
  return (
    <>
      {marks.map(({ stage, stageName, x, width: long }, i) => {
        const row = rows[i] ?? null
        const isLate = x + long > width
        return (
          <g key={stage}>
            <line x1={x} x2={x} y1={row === 1 ? 18 : STAGES.top + 2} y2={YIELD.bottom} class="lane-stage" />
            {row !== null && (
              <text
                x={isLate ? x - 4 : x + 4}
                y={12 + 16 * row}
                text-anchor={isLate ? 'end' : 'start'}
                class="tick ink haloed"
              >
                {stageName}
              </text>
            )}
          </g>
        )
      })}
    </>
  )
}

/** Warnings as lines from when they were raised to when they were cleared. */
function Warned({ one, width }: LaneProps) {
  const { date } = one.days
  const [first, last] = [date[0], date.at(-1)]
  if (first === undefined || last === undefined) return null
  const lane = { days: date.length, width }
  const x = (iso: string): number => {
    const on = localDate(Date.parse(iso), timeZone.value)
    return dayX(lane, Math.min(date.length, Math.max(0, daysBetween(first, on))))
  }
  return (
    <>
      {one.warnings.map((warning, i) => {
        const from = x(warning.raisedAt)
        const to = Math.max(from + 5, warning.clearedAt === null ? width : x(warning.clearedAt))
        const y = WARNED.top + 4 + 5 * (i % 3)
        return (
          <path key={warning.id} d={`M${from} ${y - 3}V${y + 3}M${from} ${y}H${to}`} class="lane-warning">
            <title>{`${KIND_WORDS[warning.kind]}: ${warning.headline}`}</title>
          </path>
        )
      })}
      <text x={-6} y={WARNED.top + 13} text-anchor="end" class="tick">
        warned
      </text>
    </>
  )
}

/** Numbers lead to the list of the journal below. */
function Journal({ one, width }: LaneProps) {
  const { date } = one.days
  const lane = { days: date.length, width }
  const marks = journalDates(one).flatMap(({ on, number }) => {
    const at = date.indexOf(on)
    return at < 0 ? [] : [{ number, x: dayX(lane, at + 0.5), width: String(number).length * CHAR_PX + 5 }]
  })
  const rows = rowsFor(marks, 2)
  return (
    <>
      {marks.map(({ number, x }, i) => {
        const row = rows[i] ?? null
        return (
          <g key={number}>
            <line x1={x} x2={x} y1={JOURNAL.top} y2={JOURNAL.top + 6} class="lane-entry" />
            {row !== null && (
              <text x={x} y={JOURNAL.top + 18 + 15 * row} text-anchor="middle" class="tick ink">
                {number}
              </text>
            )}
          </g>
        )
      })}
      <text x={-6} y={JOURNAL.top + 18} text-anchor="end" class="tick">
        journal
      </text>
    </>
  )
}

function Yield(props: LaneProps) {
  const { one } = props
  const unit = lengthUnit.value
  const weights = new Map<string, number>()
  for (const { kind, on, weightKg } of one.journal) {
    if (kind === 'cut') weights.set(on, (weights.get(on) ?? 0) + (weightKg ?? 0))
  }
  const lane = laneOf(props, YIELD, 0, Math.max(0.1, ...weights.values()))
  const marks = [...weights].flatMap(([on, weightKg]) => {
    const at = one.days.date.indexOf(on)
    return at < 0 ? [] : [{ on, weightKg, x: dayX(lane, at + 0.5) }]
  })
  const most = Math.max(...weights.values())
  return (
    <>
      <line x1={0} x2={lane.width} y1={YIELD.bottom} y2={YIELD.bottom} class="lane-base" />
      {marks.map(({ on, weightKg, x }) => (
        <g key={on}>
          <path
            d={`M${x - 3} ${YIELD.bottom}V${laneY(lane, weightKg) - 0.5}h6V${YIELD.bottom}Z`}
            class="lane-yield"
          />
          {weightKg > 0 && weightKg === most && (
            <text
              x={x > lane.width - 60 ? x - 7 : x + 7}
              y={YIELD.top + 12}
              text-anchor={x > lane.width - 60 ? 'end' : 'start'}
              class="tick ink haloed"
            >
              {weightWords(weightKg, unit)}
            </text>
          )}
        </g>
      ))}
      <text x={-6} y={YIELD.bottom - 10} text-anchor="end" class="tick">
        cut
      </text>
    </>
  )
}

function Months({ one, width }: LaneProps) {
  const { date } = one.days
  const lane = { days: date.length, width }
  const perMonth = (width / date.length) * 30
  return (
    <>
      {date.map((on, i) => {
        if (!on.endsWith('-01') && i !== 0) return null
        const x = dayX(lane, i)
        const words = `${monthName(on, perMonth < 70)}${i === 0 || on.slice(5) === '01-01' ? ` ${on.slice(0, 4)}` : ''}`
        // the first day speaks for its month where there is room until the next
        const until = i === 0 ? (width / date.length) * (32 - Number(on.slice(8))) : perMonth
        if (until < (i === 0 ? words.length * CHAR_PX + 8 : 30) || x > width - words.length * CHAR_PX)
          return null
        return (
          <g key={on}>
            <line x1={x} x2={x} y1={YIELD.bottom} y2={YIELD.bottom + 5} stroke="var(--rule-strong)" />
            <text x={x + 3} y={YIELD.bottom + 17} class="tick">
              {words}
            </text>
          </g>
        )
      })}
    </>
  )
}

function Lanes({ one, width }: LaneProps) {
  return (
    <>
      <Sun one={one} width={width} />
      <Warmth one={one} width={width} />
      <Sum one={one} width={width} />
      <Doses one={one} width={width} />
      <Warned one={one} width={width} />
      <Journal one={one} width={width} />
      <Yield one={one} width={width} />
      <Months one={one} width={width} />
      <Stages one={one} width={width} />
    </>
  )
}

function Picture({ one, width }: LaneProps) {
  // the cursor moves over it without its being drawn anew
  return useMemo(
    () => <Lanes one={one} width={width} />,
    [one, width, tempUnit.value, lengthUnit.value, timeZone.value],
  )
}

export function PlantingTimeline({ one, name }: { readonly one: ReviewPlanting; readonly name: string }) {
  const [at, setAt] = useState<number | null>(null)
  const { date } = one.days
  const days = date.length
  const [first, last] = [date[0], date.at(-1)]
  if (first === undefined || last === undefined) return null
  const rest = `${days} days, from ${first.slice(0, 4) === last.slice(0, 4) ? '' : `${first.slice(0, 4)} `}start to end. Point at the picture, or use the arrow keys, to read a day.`
  return (
    <div class="timeline">
      <p class={at === null ? 'readout at-rest' : 'readout'} aria-live="polite">
        {at === null ? rest : dayText(one, at, tempUnit.value, lengthUnit.value)}
      </p>
      <DayFrame
        class="timeline-frame"
        kind="season of days"
        label={`Season of ${name}`}
        days={days}
        left={LEFT}
        at={at}
        restAt={days}
        stride={7}
        most={MOST_PX}
        onRead={setAt}
      >
        {(width) => (
          <svg
            width={width + LEFT}
            height={AXIS}
            viewBox={`${-LEFT} 0 ${width + LEFT} ${AXIS}`}
            role="img"
            aria-label={`${name}, ${first} to ${addDays(last, 0)}: sun, air temperature, degree days, heat and chill, warnings, journal and harvest on one time axis. ${harvestSentence(one, lengthUnit.value)}`}
          >
            <Picture one={one} width={width} />
            {at !== null && (
              <line
                x1={dayX({ days, width }, at + 0.5)}
                x2={dayX({ days, width }, at + 0.5)}
                y1={STAGES.top}
                y2={YIELD.bottom}
                class="carpet-cursor"
              />
            )}
          </svg>
        )}
      </DayFrame>
    </div>
  )
}
