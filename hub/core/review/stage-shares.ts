/** A planting's season cut into its stages: how long each took, and what it had of sun, warmth, heat and chill. Pure. */
import type { DayRecord } from '../../../shared/api/measurements.js'
import type { StageShare } from '../../../shared/api/review.js'
import type { StageMark } from '../crops/stages.js'
import { COMPLETE_COVERAGE } from '../quality/completeness.js'

type MeasuredDay = Pick<
  DayRecord,
  'date' | 'sunHours' | 'sunCoverage' | 'airTempMeanC' | 'airCoverage' | 'heatHours' | 'chillHours'
>

/**
 * @param days  consecutive, ascending, from the planting's start
 * @param sumC  degree days by the end of each of them
 * @param marks  ascending
 */
export function stageShares(
  days: readonly MeasuredDay[],
  sumC: ArrayLike<number>,
  marks: readonly StageMark[],
): StageShare[] {
  const first = (mark: StageMark): number =>
    mark.degreeDaysC === 0 ? 0 : days.findIndex((_, i) => (sumC[i] ?? 0) >= mark.degreeDaysC)
  const begun = marks
    .map((mark) => ({ mark, from: first(mark) }))
    .filter(({ from }) => from >= 0 && from < days.length)
  return begun.flatMap(({ mark, from }, i) => {
    const end = begun[i + 1]?.from ?? days.length
    // a stage that was passed through within a day
    if (end <= from) return []
    const part = days.slice(from, end)
    return [
      {
        stage: mark.stage,
        stageName: mark.name,
        bbch: mark.bbch,
        from: part[0]!.date,
        to: part.at(-1)!.date,
        days: part.length,
        sunHours: meanSunHours(part),
        meanC: meanWarmthC(part),
        degreeDaysC: part.some((day) => day.airTempMeanC !== null)
          ? (sumC[end - 1] ?? 0) - (from === 0 ? 0 : (sumC[from - 1] ?? 0))
          : null,
        heatHours: sumOrNull(part.map((day) => day.heatHours)),
        chillHours: sumOrNull(part.map((day) => day.chillHours)),
      },
    ]
  })
}

/** Mean sun hours a day over days on which enough of the light was measured; null: there are none. */
export const meanSunHours = (days: readonly MeasuredDay[]): number | null =>
  meanOrNull(days.filter((day) => day.sunCoverage >= COMPLETE_COVERAGE).map((day) => day.sunHours))

/** Mean air temperature over days on which enough was measured, °C; null: there are none. */
export const meanWarmthC = (days: readonly MeasuredDay[]): number | null =>
  meanOrNull(days.filter((day) => day.airCoverage >= COMPLETE_COVERAGE).map((day) => day.airTempMeanC))

/**
 * The days in which what is eaten formed: from the stage `heading` (of leaves: `leafing`) to the first cut, else to when it
 * was past its best, else to the last day there is.
 */
export function formingDays<Day extends { readonly date: string }>(
  days: readonly Day[],
  stages: readonly StageShare[],
  firstCutOn: string | null,
): Day[] {
  const from = (
    stages.find(({ stage }) => stage === 'heading') ?? stages.find(({ stage }) => stage === 'leafing')
  )?.from
  if (from === undefined) return []
  const over = stages.find(({ stage }) => stage === 'finished')?.from ?? null
  const to = firstCutOn !== null && firstCutOn >= from ? firstCutOn : over
  return days.filter(({ date }) => date >= from && (to === null || date <= to))
}

function sumOrNull(values: readonly (number | null)[]): number | null {
  const known = values.flatMap((value) => value ?? [])
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0)
}

function meanOrNull(values: readonly (number | null)[]): number | null {
  const known = values.flatMap((value) => value ?? [])
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0) / known.length
}
