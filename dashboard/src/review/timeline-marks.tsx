/** The lanes of a season that hold marks: stages, warnings, the journal's days, what was cut, months. */
import { daysBetween, localDate } from '../../../shared/local-time.js'
import { KIND_WORDS } from '../../../shared/warning-kind-words.js'
import { monthName } from '../format/local-clock.js'
import { temperaturesInText } from '../format/units.js'
import { weightWords } from '../journal/journal-words.js'
import { withDates } from '../planting/planting-words.js'
import { timeZone } from '../state/garden.js'
import { lengthUnit, tempUnit } from '../state/preferences.js'
import { journalDates } from './journal-numbers.js'
import { dayX, laneY, rowsFor } from './lanes.js'
import { CHAR_PX, JOURNAL, type LaneProps, laneOf, STAGES, WARNED, YIELD } from './timeline-layout.js'

export function StagesLane({ one, width }: LaneProps) {
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
export function WarnedLane({ one, width }: LaneProps) {
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
            <title>{`${KIND_WORDS[warning.kind]}: ${withDates(temperaturesInText(warning.headline, tempUnit.value))}`}</title>
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
export function JournalLane({ one, width }: LaneProps) {
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

export function YieldLane(props: LaneProps) {
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
  // one figure gives the scale: the greatest, of equal ones the first
  const [most] = [...marks].sort((a, b) => b.weightKg - a.weightKg)
  return (
    <>
      <line x1={0} x2={lane.width} y1={YIELD.bottom} y2={YIELD.bottom} class="lane-base" />
      {marks.map(({ on, weightKg, x }) => (
        <g key={on}>
          <path
            d={`M${x - 3} ${YIELD.bottom}V${laneY(lane, weightKg) - 0.5}h6V${YIELD.bottom}Z`}
            class="lane-yield"
          />
          {weightKg > 0 && on === most?.on && (
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

export function MonthsLane({ one, width }: LaneProps) {
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
