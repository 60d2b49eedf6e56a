import { describe, expect, it } from 'vitest'
import type { Crop } from '../../../hub/core/crops/crop.js'
import { findCrop } from '../../../hub/core/crops/library.js'
import { futuresFromNormals } from '../../../hub/core/crops/normal-futures.js'
import { projectStages } from '../../../hub/core/crops/projection.js'
import type { MonthlyNormals } from '../../../hub/core/forecast/seasonal-cycle.js'
import { dailyDegreeDays } from '../../../hub/core/heat/degree-days.js'
import { addDays, daysBetween } from '../../../shared/local-time.js'
import { hasReferenceData, skipNote } from '../../support/reference-data.js'
import { type DailyRecord, longRecords } from '../forecast/support/records.js'

const crop: Crop = findCrop('cabbage-early')!
const LIMITS = { baseC: crop.baseC.value, upperC: crop.upperC.value, cutoff: 'horizontal' as const }
const STARTS = ['03-25', '04-10', '04-25', '08-01', '08-15']
const WARMTH_C = 819

/** Monthly means over the years but the one asked about: what a grower finds in a table of the region. */
function normalsWithout(record: DailyRecord, year: string): MonthlyNormals {
  const means = (of: 'minC' | 'maxC') =>
    Array.from({ length: 12 }, (_, month) => {
      const values = record.days.flatMap((day) =>
        day && Number(day.date.slice(5, 7)) === month + 1 && day.date.slice(0, 4) !== year ? [day[of]] : [],
      )
      return values.reduce((sum, value) => sum + value, 0) / values.length
    })
  return { minC: means('minC'), maxC: means('maxC') }
}

interface Score {
  held: number
  asked: number
  widthDays: number
}

function scoreOf(record: DailyRecord): Score {
  const byDate = new Map(record.days.flatMap((day) => (day ? [[day.date, day] as const] : [])))
  const dates = [...byDate.keys()]
  const score: Score = { held: 0, asked: 0, widthDays: 0 }
  const years = [...new Set(dates.map((date) => date.slice(0, 4)))]
  for (const year of years) {
    const normals = normalsWithout(record, year)
    for (const start of STARTS) {
      const today = `${year}-${start}`
      if (!byDate.has(today)) continue
      let truth = today
      for (let sum = 0; sum < WARMTH_C; ) {
        truth = addDays(truth, 1)
        const day = byDate.get(truth)
        if (!day || daysBetween(today, truth) > 130) {
          truth = ''
          break
        }
        sum += dailyDegreeDays('sine', day.minC, day.maxC, null, LIMITS)
      }
      const futures = futuresFromNormals(normals, crop, today, 200)
      const mark = { stage: 'ready' as const, name: '', bbch: '', degreeDaysC: WARMTH_C }
      const [ready] = projectStages([mark], 0, today, futures, [])
      if (truth === '' || !ready?.earliestOn || !ready.latestOn) continue
      score.asked++
      score.widthDays += daysBetween(ready.earliestOn, ready.latestOn)
      if (ready.earliestOn <= truth && truth <= ready.latestOn) score.held++
    }
  }
  return score
}

describe.skipIf(!hasReferenceData)(`harvest dates from normals, on measured years${skipNote}`, () => {
  it('lie in their 80 % interval about as often as it says', async () => {
    const total: Score = { held: 0, asked: 0, widthDays: 0 }
    for (const record of await longRecords()) {
      const { held, asked, widthDays } = scoreOf(record)
      console.log(
        `${record.name}: interval from normals held ${held} of ${asked} (${Math.round((100 * held) / asked)} %), mean width ${(widthDays / asked).toFixed(1)} days`,
      )
      total.held += held
      total.asked += asked
    }
    expect(total.asked).toBeGreaterThan(60)
    expect(total.held / total.asked).toBeGreaterThanOrEqual(0.75)
    expect(total.held / total.asked).toBeLessThanOrEqual(0.85)
  })
})
