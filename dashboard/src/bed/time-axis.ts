/**
 * The x axis of every chart: where its ticks fall and what they say, in the garden's zone. uPlot's own axis cuts
 * days in the browser's zone and is an hour off on the days the clocks change; this one steps through real instants
 * and keeps those whose wall clock is round, so a 23- or 25-hour day comes out with its true length.
 */
import { addDays, localDate, offsetMs, startOfDayMs } from '../../../shared/local-time.js'
import { axisClock, type ClockStyle, monthName, shortDate } from '../format/local-clock.js'

const MINUTE_S = 60
const DAY_S = 86_400

/** Steps within a day, s: each divides a day. */
const CLOCK_STEPS_S = [1, 5, 10, 15, 30, 60, 120, 180, 360, 720].map((minutes) => minutes * MINUTE_S)
/** Steps of whole days, then of months. */
const DAY_STEPS = [1, 2, 4, 7, 14]
const MONTH_STEPS = [1, 3, 6, 12, 24, 60]

export type TickStep =
  | { readonly kind: 'clock'; readonly seconds: number }
  | { readonly kind: 'days'; readonly days: number }
  | { readonly kind: 'months'; readonly months: number }

/** The finest step that leaves at most `maxTicks` ticks in the span. */
export function tickStep(spanS: number, maxTicks: number): TickStep {
  const room = spanS / Math.max(1, maxTicks)
  const seconds = CLOCK_STEPS_S.find((step) => step >= room)
  if (seconds !== undefined) return { kind: 'clock', seconds }
  const days = DAY_STEPS.find((step) => step * DAY_S >= room)
  if (days !== undefined) return { kind: 'days', days }
  const months = MONTH_STEPS.find((step) => step * 30.4 * DAY_S >= room) ?? 120
  return { kind: 'months', months }
}

/** Zone offsets are whole quarter hours today; walking in finer or equal steps meets every round wall clock. */
function walkS(stepS: number): number {
  if (stepS <= 5 * MINUTE_S) return stepS
  return stepS === 10 * MINUTE_S ? 5 * MINUTE_S : 15 * MINUTE_S
}

function clockTicks(fromS: number, toS: number, stepS: number, timeZone: string): number[] {
  const walk = walkS(stepS)
  const ticks: number[] = []
  for (let s = Math.ceil(fromS / walk) * walk; s <= toS; s += walk) {
    const wallS = s + offsetMs(s * 1000, timeZone) / 1000
    if (wallS % stepS === 0) ticks.push(s)
  }
  return ticks
}

/** Days are counted from a Monday, so that weekly ticks fall on Mondays. */
const isDayTick = (date: string, days: number): boolean =>
  ((Date.parse(`${date}T00:00:00Z`) / 86_400_000 - 4) % days) + days === days

function isMonthTick(date: string, months: number): boolean {
  if (!date.endsWith('-01')) return false
  return (Number(date.slice(0, 4)) * 12 + Number(date.slice(5, 7)) - 1) % months === 0
}

function calendarTicks(fromS: number, toS: number, step: TickStep, timeZone: string): number[] {
  const ticks: number[] = []
  const last = localDate(toS * 1000, timeZone)
  for (let date = localDate(fromS * 1000, timeZone); date <= last; date = addDays(date, 1)) {
    const isTick =
      step.kind === 'days'
        ? isDayTick(date, step.days)
        : step.kind === 'months' && isMonthTick(date, step.months)
    if (!isTick) continue
    const startS = startOfDayMs(date, timeZone) / 1000
    if (startS >= fromS && startS <= toS) ticks.push(startS)
  }
  return ticks
}

/** Instants (epoch s, ascending) at which the axis has a tick. */
export function timeTicks(fromS: number, toS: number, maxTicks: number, timeZone: string): number[] {
  const step = tickStep(toS - fromS, maxTicks)
  return step.kind === 'clock'
    ? clockTicks(fromS, toS, step.seconds, timeZone)
    : calendarTicks(fromS, toS, step, timeZone)
}

/**
 * What each tick says: the clock or the day on the first line; the day or the year on the second, at the first
 * tick and wherever it changes.
 */
export function tickLabels(
  ticks: readonly number[],
  step: TickStep,
  timeZone: string,
  style: ClockStyle,
): string[] {
  let previous = ''
  return ticks.map((tickS) => {
    const date = localDate(tickS * 1000, timeZone)
    const context = step.kind === 'clock' ? date : date.slice(0, 4)
    const isNew = context !== previous
    previous = context
    if (step.kind === 'clock') {
      const clock = axisClock(tickS * 1000, timeZone, style)
      return isNew ? `${clock}\n${shortDate(date)}` : clock
    }
    const first =
      step.kind === 'days'
        ? `${Number(date.slice(8))} ${monthName(date, true)}`
        : step.months >= 12
          ? date.slice(0, 4)
          : monthName(date, true)
    const saysYear = step.kind === 'days' || step.months < 12
    return isNew && saysYear ? `${first}\n${context}` : first
  })
}

/** Ticks a plot of this width has room for, px. */
export const ticksFor = (widthPx: number): number => Math.max(2, Math.floor(widthPx / 52))
