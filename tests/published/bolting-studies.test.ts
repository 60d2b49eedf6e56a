/**
 * What bolting studies found, against the doses: the direction and the rough size of an effect, not a printed figure.
 * - Chun et al. 2001, HortScience 36:889: spinach at days of 10 h did not bolt, at 16 h more than 85 % had within three
 *   days of planting out (abstract)
 * - Sci. Hort. 25:217-224, 1985, on Chinese cabbage: one to three weeks at 12 °C hasten flowering, raising at 18 °C and
 *   above avoids it; no juvenile stage (abstract)
 * - "Juvenile stage in cultivated forms of Brassica oleracea", Nature: plants sown in July flowered after winter, plants
 *   sown in August, still small, did not (abstract)
 * - Wiebe, Acta Hort. 371: warmth soon after cold takes its effect back (abstract)
 */
import { expect, test } from 'vitest'
import { coldDose } from '../../hub/core/crops/cold-bolting.js'
import type { PlantDay } from '../../hub/core/crops/dose.js'
import { heatBoltingDose } from '../../hub/core/crops/heat-bolting.js'
import { CROPS } from '../../hub/core/crops/library.js'
import { addDays } from '../../shared/local-time.js'

interface Phase {
  readonly days: number
  readonly meanC: number
  readonly dayLengthHours?: number
}
/** A growth chamber: days at steady means with a swing of 4 °C either way, degree days over 4.4 °C adding up. */
function chamber(...phases: readonly Phase[]): PlantDay[] {
  const days: PlantDay[] = []
  let degreeDaysC = 0
  for (const { days: n, meanC, dayLengthHours = 12 } of phases) {
    for (let i = 0; i < n; i++) {
      degreeDaysC += Math.max(0, meanC - 4.4)
      days.push({
        date: addDays('2027-01-01', days.length),
        isThin: false,
        minC: meanC - 4,
        maxC: meanC + 4,
        meanC,
        heatHours: 0,
        degreeDaysC,
        dayLengthHours,
      })
    }
  }
  return days
}
const crop = (id: string) => CROPS.get(id)!

test('spinach takes no dose at days of 10 h and a full one at 16 h (Chun et al. 2001)', () => {
  const at = (dayLengthHours: number) =>
    heatBoltingDose(crop('spinach'), 'sown', chamber({ days: 45, meanC: 20, dayLengthHours }))!
  expect(at(10).amount).toBe(0)
  expect(at(16).level).toBe('likely')
})

test('Chinese cabbage takes chill as a seed at 12 °C, within one to three weeks, and none at 18 °C (Sci. Hort. 1985)', () => {
  const after = (days: number, meanC: number) =>
    coldDose(crop('chinese-cabbage'), 'sown', chamber({ days, meanC }))!
  expect(after(7, 12).amount).toBeGreaterThan(3)
  expect(after(21, 12).level).toBe('likely')
  expect(after(60, 18).amount).toBe(0)
})

test('cabbage sown a month earlier goes into the same winter large enough to feel it (Nature)', () => {
  const autumnAndWinter = (weeksBefore: number) =>
    coldDose(
      crop('cabbage-mid'),
      'sown',
      chamber({ days: weeksBefore * 7, meanC: 15 }, { days: 60, meanC: 5 }),
    )!
  expect(autumnAndWinter(9).level).toBe('likely')
  expect(autumnAndWinter(4).amount).toBe(0)
})

test('warm days right after cold leave less of it than cool ones (Wiebe)', () => {
  const then = (meanC: number) =>
    coldDose(
      crop('cabbage-mid'),
      'planted-out',
      chamber({ days: 20, meanC: 15 }, { days: 20, meanC: 6 }, { days: 10, meanC }),
    )!
  expect(then(22).amount).toBeLessThan(then(15).amount)
  expect(then(22).undoneDays).toBeGreaterThan(5)
  expect(then(15).undoneDays).toBe(0)
})
