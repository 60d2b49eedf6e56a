/** A garden's first weeks: the forecast begun anew at many days of a record, knowing only the place. */
import { newLocalForecast } from '../../../../hub/core/forecast/local-forecast.js'
import { withDay } from '../../../../hub/core/forecast/local-learning.js'
import { outlook } from '../../../../hub/core/forecast/local-outlook.js'
import { interval80 } from '../../../../hub/core/forecast/normal-odds.js'
import type { DailyRecord } from './records.js'

const STEP_DAYS = 45

export interface FirstWeeks {
  readonly fromDay: number
  readonly toDay: number
  /** tomorrow's maximum and minimum together, °C */
  readonly maeC: number
  readonly persistenceMaeC: number
  readonly usualMaeC: number
  readonly coverage: number
  readonly meanWidthC: number
}

/** Tomorrow's extremes as forecast on days `fromDay` to `toDay` of a garden, over all beginnings. */
export function scoreFirstWeeks(record: DailyRecord, fromDay: number, toDay: number): FirstWeeks {
  const sums = { error: 0, persistence: 0, usual: 0, held: 0, width: 0, count: 0 }
  for (let begin = 0; begin + toDay + 1 < record.days.length; begin += STEP_DAYS) {
    let state = newLocalForecast(record.place)
    for (let i = 0; i < toDay; i++) {
      const day = record.days[begin + i]
      const next = record.days[begin + i + 1]
      if (!day) continue
      state = withDay(state, day)
      if (i < fromDay || !next) continue
      const odds = outlook(state, day.date).days[0]!
      for (const [of, usual] of [
        ['maxC', odds.usualMaxC],
        ['minC', odds.usualMinC],
      ] as const) {
        const { lowC, middleC, highC } = interval80(odds[of])
        sums.error += Math.abs(middleC - next[of])
        sums.persistence += Math.abs(day[of] - next[of])
        sums.usual += Math.abs(usual.meanC - next[of])
        sums.held += next[of] >= lowC && next[of] <= highC ? 1 : 0
        sums.width += highC - lowC
        sums.count++
      }
    }
  }
  return {
    fromDay,
    toDay,
    maeC: sums.error / sums.count,
    persistenceMaeC: sums.persistence / sums.count,
    usualMaeC: sums.usual / sums.count,
    coverage: sums.held / sums.count,
    meanWidthC: sums.width / sums.count,
  }
}
