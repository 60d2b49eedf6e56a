/** Plans from measured daily records: as many ways of going as there are years, and soil that was measured. */
import { describe, expect, it } from 'vitest'
import { findCrop } from '../../../hub/core/crops/library.js'
import type { Climate } from '../../../hub/core/plan/climate.js'
import { climateFromDays, type MeasuredDay } from '../../../hub/core/plan/climate-from-days.js'
import { soilFromAir } from '../../../hub/core/plan/soil-from-air.js'
import { planYear, type YearPlan } from '../../../hub/core/plan/year-plan.js'
import { daysBetween } from '../../../shared/local-time.js'
import { hasReferenceData, loadTruth, skipNote } from '../../support/reference-data.js'
import { KANSAS, SEATTLE } from './support/climates.js'
import { bestWindow, planAt } from './support/guidance.js'

const cell = (text: string | undefined): number | null =>
  text === undefined || text === '' ? null : Number(text)

async function record(file: string): Promise<MeasuredDay[]> {
  const rows = await loadTruth(file)
  return rows.map((row) => ({
    date: row.date!,
    minC: cell(row.tmin_c),
    maxC: cell(row.tmax_c),
    meanC: cell(row.tavg_c),
    soilMeanC: cell(row.soil5_c),
  }))
}
const MANHATTAN = 'uscrn-manhattan-daily/uscrn-manhattan-2003-2017.tidy.csv'

describe.skipIf(!hasReferenceData)(`plans from measured years${skipNote}`, () => {
  const planned = (climate: Climate, latitudeDeg: number): YearPlan =>
    planYear(findCrop('cabbage-early')!, climate, latitudeDeg, '2026-01-04', '2026-12-31', ['under cover'])

  it.each([
    ['Seattle', 'seattle-daily/seattle-2012-2015.tidy.csv', SEATTLE, 4],
    ['Manhattan, Kansas', MANHATTAN, KANSAS, 8],
  ] as const)(
    '%s: agree with plans from its monthly normals within three weeks',
    async (_, file, normals, years) => {
      const { climate } = climateFromDays(await record(file), 'garden days')
      expect(climate!.years.length).toBeGreaterThanOrEqual(years)
      const measured = planned(climate!, normals.latitudeDeg)
      const typed = planAt(normals, 'cabbage-early')
      for (const season of ['warming', 'cooling'] as const) {
        const a = bestWindow(measured, 'under cover', season).best
        const b = bestWindow(typed, 'under cover', season).best
        expect(Math.abs(daysBetween(a.sowOn, b.sowOn))).toBeLessThanOrEqual(21)
        // the same week seen both ways
        const same = measured.weeks.find(({ sowOn }) => sowOn === b.sowOn)!
        expect(Math.abs(daysBetween(same.readyFrom!, b.readyFrom!))).toBeLessThanOrEqual(7)
        expect(Math.abs(same.score - b.score)).toBeLessThan(0.15)
      }
    },
  )

  it('Manhattan: soil from the air is within 2.1 °C of soil at 5 cm (root mean square, later years)', async () => {
    const days = (await record(MANHATTAN)).filter(({ date }) => date >= '2011-01-01')
    const years = climateFromDays(days, 'garden days').climate!
    expect(years.soilBasis).toBe('measured')
    let squares = 0
    let n = 0
    for (const year of years.years) {
      const guessed = soilFromAir(year.meanC)
      for (const [slot, soilC] of year.soilC.entries()) {
        squares += (guessed[slot]! - soilC) ** 2
        n++
      }
    }
    expect(n).toBeGreaterThan(1000)
    expect(Math.sqrt(squares / n)).toBeLessThan(2.1)
  })
})
