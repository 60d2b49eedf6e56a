/** The outlook from a day that is still running, on what is expected of it. */
import { type LocalForecastState, perExtreme } from './local-forecast.js'
import { EVENING, type Outlook, outlook, SLOW_STEP, slowAfter, withoutDaysUntil } from './local-outlook.js'
import type { TemperatureOdds } from './normal-odds.js'
import { type DayExtreme, dayNumber, usualC } from './seasonal-cycle.js'

/** Spread of a day that is not over, °C. */
export interface ExpectedDay {
  readonly minC: number
  readonly maxC: number
  readonly eveningC: number
  readonly minSdC: number
  readonly maxSdC: number
  readonly eveningSdC: number
  /** 0 (early: the evening follows the day) to 1 (it is there: it speaks for itself) */
  readonly eveningIsNear: number
}

/**
 * The days after one that is still running: as if it ended as expected, and wider by what is not known of it.
 * Nothing is learned from such a day.
 *
 * @throws RangeError  the state already knows that day
 */
export function outlookAfterExpected(
  state: LocalForecastState,
  date: string,
  expected: ExpectedDay,
): Outlook {
  const day = dayNumber(date)
  const before = withoutDaysUntil(state, day - 1)
  const expectedC = { min: expected.minC, max: expected.maxC }
  const anomalyC = perExtreme((extreme) => expectedC[extreme] - usualC(before.cycles[extreme], day))
  const asEnded: LocalForecastState = {
    ...before,
    lastDay: day,
    missedDays: 0,
    anomalyC,
    previousAnomalyC: before.missedDays === null ? anomalyC : before.anomalyC,
    slowAnomalyC: slowAfter(before.slowAnomalyC, anomalyC),
    eveningAnomalyC:
      expected.eveningIsNear * (expected.eveningC - usualC(before.cycles.evening, day)) +
      (1 - expected.eveningIsNear) * ((anomalyC.min + anomalyC.max) / 2),
  }
  const after = outlook(asEnded, date)
  const widened = (odds: TemperatureOdds, extreme: DayExtreme, lead: number): TemperatureOdds => {
    const { weights } = asEnded.relations[extreme][lead - 1]!
    // the day enters as itself and through the slow mean
    const byMin = weights[0]! + SLOW_STEP * weights[4]!
    const byMax = weights[1]! + SLOW_STEP * weights[5]!
    const parts = [byMin * expected.minSdC, byMax * expected.maxSdC, weights[EVENING]! * expected.eveningSdC]
    const apart = parts.reduce((total, part) => total + part * part, 0)
    const together = parts.reduce((total, part) => total + part, 0) ** 2
    // the parts of a day err half together
    return { ...odds, sdC: Math.sqrt(odds.sdC ** 2 + (apart + together) / 2) }
  }
  return {
    ...after,
    days: after.days.map((one) => ({
      ...one,
      maxC: widened(one.maxC, 'max', one.leadDays),
      minC: widened(one.minC, 'min', one.leadDays),
    })),
  }
}
