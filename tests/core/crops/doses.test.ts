import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { chillPart, coldDose, FRESH_DAYS } from '../../../hub/core/crops/cold-bolting.js'
import type { PlantDay } from '../../../hub/core/crops/dose.js'
import { heatBoltingDose } from '../../../hub/core/crops/heat-bolting.js'
import { heatDose, heatWeight } from '../../../hub/core/crops/heat-dose.js'
import { trueLeaves } from '../../../hub/core/crops/leaf-number.js'
import { CROPS } from '../../../hub/core/crops/library.js'
import { addDays } from '../../../shared/local-time.js'

const cabbage = CROPS.get('cabbage-early')!
const chineseCabbage = CROPS.get('chinese-cabbage')!
const broccoli = CROPS.get('broccoli')!
const lettuce = CROPS.get('lettuce-head')!
const spinach = CROPS.get('spinach')!
const kale = CROPS.get('kale')!

/** A run of like days; a big plant in cool weather unless said otherwise. */
const like = (n: number, day: Partial<PlantDay> = {}, from = 0): PlantDay[] =>
  Array.from({ length: n }, (_, i) => ({
    date: addDays('2027-04-01', from + i),
    isThin: false,
    minC: 2,
    maxC: 10,
    meanC: 6,
    heatHours: 0,
    degreeDaysC: 300,
    dayLengthHours: 13,
    ...day,
  }))
const warm: Partial<PlantDay> = { minC: 14, maxC: 27, meanC: 20 }

describe('leaves', () => {
  test('a cabbage goes out with five or six and starts its head with about fifteen', () => {
    expect(trueLeaves(cabbage, 'planted-out', 0)).toBeGreaterThanOrEqual(5)
    expect(trueLeaves(cabbage, 'planted-out', 0)).toBeLessThanOrEqual(6)
    const atHeading = trueLeaves(cabbage, 'planted-out', cabbage.degreeDays.toHeading!.value)
    expect(atHeading).toBeGreaterThanOrEqual(13)
    expect(atHeading).toBeLessThanOrEqual(17)
  })

  test('a seed has none', () => {
    expect(trueLeaves(cabbage, 'sown', 0)).toBe(0)
  })
})

describe('chill', () => {
  test.each([
    [-5, 0],
    [-2, 0],
    [0, 0.5],
    [2, 1],
    [6, 1],
    [8, 1],
    [10.5, 0.5],
    [13, 0],
    [20, 0],
  ])('a cabbage day at a mean of %d °C counts %d', (meanC, part) => {
    expect(chillPart(meanC, cabbage.coldBolting!)).toBeCloseTo(part, 10)
  })

  test('adds up in plants past the juvenile size, to a look and then to a likely bolting', () => {
    expect(coldDose(cabbage, 'planted-out', like(9))).toMatchObject({ amount: 9, level: 'none' })
    expect(coldDose(cabbage, 'planted-out', like(10))).toMatchObject({ amount: 10, level: 'watch' })
    expect(coldDose(cabbage, 'planted-out', like(28))).toMatchObject({ amount: 28, level: 'likely' })
  })

  test('does nothing to small plants, however long it lasts', () => {
    const small = like(60, { degreeDaysC: 20 })
    expect(coldDose(cabbage, 'planted-out', small)).toMatchObject({ amount: 0, feelsColdFrom: null })
  })

  test('is felt from the day on which the plants are large enough', () => {
    const growing = [...like(5, { degreeDaysC: 20 }), ...like(5, {}, 5)]
    expect(coldDose(cabbage, 'planted-out', growing)).toMatchObject({
      amount: 5,
      feelsColdFrom: '2027-04-06',
    })
  })

  test('is felt by the seed of Chinese cabbage', () => {
    expect(coldDose(chineseCabbage, 'sown', like(20, { degreeDaysC: 0 }))).toMatchObject({ level: 'likely' })
  })

  test('fresh is undone by warm days, a day for a day, and never below nothing', () => {
    const dose = coldDose(cabbage, 'planted-out', [...like(6), ...like(4, warm, 6)])
    expect(dose).toMatchObject({ amount: 2, undoneDays: 4 })
    expect(coldDose(cabbage, 'planted-out', [...like(2), ...like(9, warm, 2)])).toMatchObject({
      amount: 0,
      undoneDays: 2,
    })
  })

  test('that has set is not undone', () => {
    const mild = { minC: 10, maxC: 20, meanC: 15 }
    const days = [...like(6), ...like(FRESH_DAYS, mild, 6), ...like(5, warm, 6 + FRESH_DAYS)]
    expect(coldDose(cabbage, 'planted-out', days)).toMatchObject({ amount: 6, undoneDays: 0 })
  })

  test('on days without readings is not known, and they are counted', () => {
    expect(
      coldDose(cabbage, 'planted-out', [...like(3), ...like(2, { meanC: null, maxC: null }, 3)]),
    ).toMatchObject({ amount: 3, unknownDays: 2 })
  })

  test('of a thinly measured day is not known either, though a warm maximum in it undoes chill', () => {
    const thin = { isThin: true }
    expect(coldDose(cabbage, 'planted-out', [...like(3), ...like(2, thin, 3)])).toMatchObject({
      amount: 3,
      unknownDays: 2,
    })
    expect(coldDose(cabbage, 'planted-out', [...like(3), ...like(1, { ...warm, ...thin }, 3)])).toMatchObject(
      {
        amount: 2,
        unknownDays: 0,
      },
    )
  })

  test('does not matter to crops that flower by warmth', () => {
    expect(coldDose(lettuce, 'planted-out', like(30))).toBeNull()
  })

  test('what is left and what was undone never exceed the chill there was', () => {
    const day = fc.record({
      meanC: fc.double({ min: -5, max: 25, noNaN: true }),
      maxC: fc.double({ min: 0, max: 35, noNaN: true }),
    })
    fc.assert(
      fc.property(fc.array(day, { maxLength: 80 }), (drawn) => {
        const days = drawn.map((d, i) => ({ ...like(1, d, i)[0]! }))
        const dose = coldDose(cabbage, 'planted-out', days)!
        const all = days.reduce((sum, d) => sum + chillPart(d.meanC!, cabbage.coldBolting!), 0)
        expect(dose.amount).toBeGreaterThanOrEqual(0)
        expect(dose.amount + dose.undoneDays).toBeLessThanOrEqual(all + 1e-9)
      }),
    )
  })
})

describe('warm long days', () => {
  const hot = { minC: 15, maxC: 29, meanC: 22, degreeDaysC: 200 }

  test('count towards bolting of lettuce', () => {
    expect(heatBoltingDose(lettuce, 'planted-out', like(5, { ...hot, dayLengthHours: 15 }))).toMatchObject({
      amount: 5,
      level: 'watch',
    })
  })

  test('do not when they are short', () => {
    expect(heatBoltingDose(spinach, 'sown', like(20, { ...hot, dayLengthHours: 10 }))).toMatchObject({
      amount: 0,
    })
    expect(heatBoltingDose(spinach, 'sown', like(20, { ...hot, dayLengthHours: 16 }))).toMatchObject({
      amount: 20,
      level: 'likely',
    })
  })

  test('do not before there is a leaf to feel them, and leave out days not measured', () => {
    expect(
      heatBoltingDose(spinach, 'sown', like(9, { ...hot, degreeDaysC: 10, dayLengthHours: 16 })),
    ).toMatchObject({ amount: 0 })
    expect(
      heatBoltingDose(spinach, 'sown', like(3, { ...hot, maxC: null, dayLengthHours: 16 })),
    ).toMatchObject({ amount: 0, unknownDays: 3 })
  })

  test('do not matter to cabbage', () => {
    expect(heatBoltingDose(cabbage, 'planted-out', like(3))).toBeNull()
  })
})

describe('heat', () => {
  const heading = cabbage.degreeDays.toHeading!.value
  const ready = cabbage.degreeDays.toReady.value

  test('counts in full while heads form, by half once they are ready, and not before or after', () => {
    expect(heatWeight(cabbage, 'planted-out', heading - 1)).toBe(0)
    expect(heatWeight(cabbage, 'planted-out', heading)).toBe(1)
    expect(heatWeight(cabbage, 'planted-out', ready - 1)).toBe(1)
    expect(heatWeight(cabbage, 'planted-out', ready)).toBe(0.5)
    expect(heatWeight(cabbage, 'planted-out', 5_000)).toBe(0)
  })

  test('counts for broccoli while the curd is laid down, before any is seen', () => {
    const curdAt = broccoli.degreeDays.toHeading!.value
    expect(heatWeight(broccoli, 'planted-out', curdAt * 0.9)).toBe(1)
    expect(heatWeight(broccoli, 'planted-out', curdAt * 0.5)).toBe(0)
  })

  test('adds up to a look and to likely harm', () => {
    const hot = { degreeDaysC: heading + 50, heatHours: 5, maxC: 30 }
    expect(heatDose(cabbage, 'planted-out', like(2, hot))).toMatchObject({ amount: 10, level: 'none' })
    expect(heatDose(cabbage, 'planted-out', like(3, hot))).toMatchObject({ amount: 15, level: 'watch' })
    expect(heatDose(cabbage, 'planted-out', like(9, hot))).toMatchObject({ amount: 45, level: 'likely' })
  })

  test('after a warm night weighs a quarter more', () => {
    const hot = { degreeDaysC: heading + 50, heatHours: 4, minC: 21 }
    expect(heatDose(cabbage, 'planted-out', like(1, hot))).toMatchObject({ amount: 5 })
  })

  test('of days without readings is not known, and they are counted', () => {
    expect(
      heatDose(cabbage, 'planted-out', like(2, { degreeDaysC: heading + 50, heatHours: null })),
    ).toMatchObject({ amount: 0, unknownDays: 2 })
  })

  test('of a thinly measured day counts as far as it was measured, and is marked as perhaps more', () => {
    const thin = { degreeDaysC: heading + 50, heatHours: 4, isThin: true }
    expect(heatDose(cabbage, 'planted-out', like(2, thin))).toMatchObject({ amount: 8, unknownDays: 2 })
  })

  test('has no limit for kale', () => {
    expect(heatDose(kale, 'planted-out', like(2))).toBeNull()
  })
})
