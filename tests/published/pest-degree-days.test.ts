/**
 * When pests of the cabbage family fly, in degree days.
 *
 * Univ. Wisconsin–Madison Extension XHT1087, Degree days for common fruit and vegetable insect pests (Delahaut, rev. 2015): base in °F,
 * °F·d of the events. Whole numbers in °F: tolerance half of one, in °C. Cross-checks: Eckenrode & Chapman 1972, Ann. Entomol. Soc.
 * Am. 65:151 (301 °F·d above 43 °F from 1 January; secondary copy), and the Nova Scotia vegetable bulletin of 16 May 2024
 * (161 °C·d above 4 °C when emergence of the root fly begins, 250 at its peak).
 */
import { describe, expect, test } from 'vitest'
import { airWarmth } from '../../hub/core/tasks/pest-flight.js'
import { COUNT_FROM, PESTS } from '../../hub/core/tasks/pest-table.js'
import { addDays, dayOfYear } from '../../shared/local-time.js'

const fahrenheit = (c: number): number => (c * 9) / 5 + 32
const fahrenheitDegrees = (c: number): number => (c * 9) / 5
const HALF_F = 0.5
/** emergence of the root fly, °C·d */
const NOVA_SCOTIA = { baseC: 4, beginsC: 161, peakC: 250 }

const ROWS: readonly [pest: string, baseF: number, ...flightF: number[]][] = [
  // adults of the first, second and third generation
  ['root-fly', 43, 300, 1476, 2652],
  // adults from 150 to 240: the hub takes the earlier end, since a net must be on before the first
  ['small-white', 50, 150],
]
/**
 * A generation of the root fly: 580 °C·d above 6 °C in the soil 6 cm deep (abstract of a chapter in Forecasting pest attacks, Taylor &
 * Francis). Other base, other place of the thermometer: the table's broods must be one such generation apart within a seventh.
 */
const GENERATION_C = 580

describe('XHT1087', () => {
  test('every pest that the hub knows has its row here', () => {
    expect(PESTS.map(({ id }) => id)).toEqual(ROWS.map(([id]) => id))
    expect(COUNT_FROM.value).toBe('01-01')
  })

  test.each(ROWS)('%s: base %d °F, first flight at %d °F·d', (id, baseF, ...flightF) => {
    const pest = PESTS.find((one) => one.id === id)!
    expect(Math.abs(fahrenheit(pest.baseC.value) - baseF)).toBeLessThan(HALF_F)
    expect(pest.broods).toHaveLength(flightF.length)
    for (const [i, { flightC }] of pest.broods.entries()) {
      expect(Math.abs(fahrenheitDegrees(flightC.value) - flightF[i]!)).toBeLessThan(HALF_F)
    }
    const sources = [pest.baseC, ...pest.broods.map(({ flightC }) => flightC)].map(({ source }) => source)
    expect(new Set(sources)).toEqual(new Set(['published']))
  })

  test('has the broods of the root fly one generation apart', () => {
    const [first, ...later] = PESTS.find(({ id }) => id === 'root-fly')!.broods
    let before = first.flightC.value
    for (const { flightC } of later) {
      expect(Math.abs(flightC.value - before - GENERATION_C)).toBeLessThan(GENERATION_C / 7)
      before = flightC.value
    }
  })

  test('agrees with Eckenrode & Chapman 1972 to one degree day', () => {
    const rootFly = PESTS.find(({ id }) => id === 'root-fly')!
    expect(Math.abs(fahrenheitDegrees(rootFly.broods[0].flightC.value) - 301)).toBeLessThanOrEqual(1 + 1e-9)
  })
})

/** Two made-up springs, a maritime and a continental one: mean minimum and maximum of the months, °C. */
const SPRINGS: readonly [name: string, minC: readonly number[], maxC: readonly number[]][] = [
  ['a maritime spring', [-10, -9, -5, 0.5, 6, 11, 14], [-1, 0, 4, 10, 17, 22, 25.5]],
  ['a continental spring', [-12, -10, -4.5, 2, 7.5, 13, 16], [-3, -0.5, 6.5, 14, 20.5, 25.5, 28]],
]

describe('two tables of the root fly, one with its base at 6.1 °C, one at 4 °C', () => {
  const rootFly = PESTS.find(({ id }) => id === 'root-fly')!
  test.each(SPRINGS)('name nearly the same days in %s', (_name, minC, maxC) => {
    const on = (date: string, byMonth: readonly number[]): number => {
      const months = 12 * ((dayOfYear(date) - 0.5) / 365.25) - 0.5
      const before = Math.max(0, Math.floor(months))
      return byMonth[before]! + (months - before) * (byMonth[before + 1]! - byMonth[before]!)
    }
    const reached = (baseC: number, sumC: number): number => {
      let sum = 0
      for (let day = 0; day < 190; day++) {
        const date = addDays('2027-01-01', day)
        sum += airWarmth(on(date, minC), on(date, maxC), baseC)
        if (sum >= sumC) return day
      }
      throw new Error('never reached')
    }
    const used = reached(rootFly.baseC.value, rootFly.broods[0].flightC.value)
    const begins = reached(NOVA_SCOTIA.baseC, NOVA_SCOTIA.beginsC)
    const peak = reached(NOVA_SCOTIA.baseC, NOVA_SCOTIA.peakC)
    // the hub's threshold lies between the first flies and the peak of the other table, give or take a week
    expect(used).toBeGreaterThanOrEqual(begins - 7)
    expect(used).toBeLessThanOrEqual(peak + 7)
  })
})
