import { describe, expect, it } from 'vitest'
import {
  cycleFromNormals,
  cycleFromPlace,
  cycleWithDay,
  dayNumber,
  usualC,
  usualVariance,
  yearPhase,
} from '../../../hub/core/forecast/seasonal-cycle.js'

const place = (latitudeDeg: number, elevationM = 0) => ({ latitudeDeg, longitudeDeg: 0, elevationM })
const on = (date: string): number => dayNumber(date)

describe('the usual course of the year', () => {
  it('is warm in July in the north and in January in the south before anything is measured', () => {
    const north = cycleFromPlace(place(50), 'max')
    const south = cycleFromPlace(place(-50), 'max')
    expect(usualC(north, on('2027-07-20'))).toBeGreaterThan(usualC(north, on('2027-01-20')) + 12)
    expect(usualC(south, on('2027-01-20'))).toBeGreaterThan(usualC(south, on('2027-07-20')) + 12)
    expect(usualC(south, on('2027-01-18'))).toBeCloseTo(usualC(north, on('2027-07-20')), 1)
  })

  it('hardly changes through the year at the equator and is cooler higher up', () => {
    const low = cycleFromPlace(place(0), 'min')
    expect(usualC(low, on('2027-07-20'))).toBeCloseTo(usualC(low, on('2027-01-20')), 6)
    expect(usualC(cycleFromPlace(place(0, 2000), 'min'), 0)).toBeCloseTo(usualC(low, 0) - 13, 6)
  })

  // Daily maxima of four places, monthly normals January and July in °C, rounded, from memory: the guess from the
  // latitude has to be within twice the spread it claims
  it.each([
    ['Berlin', 52.5, 34, 3, 25],
    ['Minneapolis', 44.9, 250, -4, 29],
    ['Wellington', -41.3, 30, 21, 12],
    ['Nairobi', -1.3, 1700, 26, 22],
  ])('is guessed for %s within what the guess claims', (_, latitudeDeg, elevationM, januaryC, julyC) => {
    const cycle = cycleFromPlace(place(latitudeDeg, elevationM), 'max')
    for (const [date, normalC] of [
      ['2027-01-15', januaryC],
      ['2027-07-15', julyC],
    ] as const) {
      const distance = Math.abs(usualC(cycle, on(date)) - normalC)
      expect(distance).toBeLessThan(2 * Math.sqrt(usualVariance(cycle, on(date))))
    }
  })

  it('runs through typed-in monthly normals', () => {
    const monthlyC = [3, 4, 8, 13, 18, 21, 23, 23, 19, 13, 7, 4]
    const cycle = cycleFromNormals(monthlyC)
    for (const [month, normalC] of monthlyC.entries()) {
      const date = `2027-${String(month + 1).padStart(2, '0')}-15`
      expect(Math.abs(usualC(cycle, on(date)) - normalC)).toBeLessThan(0.8)
    }
    const yearMeanC = monthlyC.reduce((sum, valueC) => sum + valueC, 0) / 12
    expect(cycle.weights[0]).toBeCloseTo(yearMeanC, 12)
  })

  it.each([[[1, 2, 3]], [Array(12).fill(Number.NaN)]])(
    'refuses normals that are not twelve numbers',
    (bad) => {
      expect(() => cycleFromNormals(bad)).toThrow(RangeError)
    },
  )

  it('comes to the bed’s own days', () => {
    let cycle = cycleFromPlace(place(50), 'max')
    const trueC = (day: number): number => 14 + 9 * Math.cos(2 * Math.PI * (yearPhase(day) - 0.56))
    for (let day = 0; day < 4 * 365; day++) cycle = cycleWithDay(cycle, day, trueC(day), 10)
    for (const date of ['2003-12-28', '2004-04-10', '2004-07-20']) {
      expect(Math.abs(usualC(cycle, on(date)) - trueC(on(date)))).toBeLessThan(0.3)
    }
    expect(usualVariance(cycle, 1461)).toBeLessThan(0.5)
  })

  it('has no jump at the turn of any year', () => {
    const cycle = cycleFromPlace(place(50), 'max')
    for (const year of [2023, 2024, 2025]) {
      const step = usualC(cycle, on(`${year + 1}-01-01`)) - usualC(cycle, on(`${year}-12-31`))
      expect(Math.abs(step)).toBeLessThan(0.1)
    }
  })
})
