import { describe, expect, it } from 'vitest'
import { climateFromDays, type MeasuredDay } from '../../../hub/core/plan/climate-from-days.js'
import { climateFromNormals } from '../../../hub/core/plan/climate-from-normals.js'
import { measuredDays } from '../../../hub/core/plan/measured-days.js'
import { dateAt, SLOTS, slotOf } from '../../../hub/core/plan/year-slots.js'
import { addDays } from '../../../shared/local-time.js'
import { KANSAS, SEATTLE } from './support/climates.js'

const mean = (values: ArrayLike<number>): number =>
  Array.from(values).reduce((a, b) => a + b, 0) / values.length

function madeUpDays(
  from: string,
  days: number,
  change: (day: MeasuredDay) => MeasuredDay | null = (d) => d,
): MeasuredDay[] {
  return Array.from({ length: days }, (_, i) => {
    const date = addDays(from, i)
    const usualC = 10 - 8 * Math.cos((2 * Math.PI * slotOf(date)) / SLOTS)
    return change({ date, minC: usualC - 5, maxC: usualC + 5, meanC: usualC, soilMeanC: null })
  }).filter((day) => day !== null)
}

describe('places in the year', () => {
  it('stand for the same date in every year', () => {
    for (const year of [2023, 2024, 2100]) {
      for (let slot = 0; slot < SLOTS; slot++) expect(slotOf(dateAt(year, slot))).toBe(slot)
    }
  })

  it('put a leap day with the day before', () => {
    expect(slotOf('2024-02-29')).toBe(slotOf('2024-02-28'))
    expect(dateAt(2024, 59)).toBe('2024-03-01')
  })

  it('run on into other years', () => {
    expect(dateAt(2026, 365)).toBe('2027-01-01')
    expect(dateAt(2026, -1)).toBe('2025-12-31')
  })
})

describe('a climate from normals', () => {
  const climate = climateFromNormals(KANSAS, null, 'county extension')

  it('has the normals as its mean', () => {
    const july = [...Array(31).keys()].map((i) => slotOf('2026-07-01') + i)
    const meanC = mean(july.map((slot) => mean(climate.years.map((year) => year.meanC[slot]!))))
    expect(meanC).toBeCloseTo((19.9 + 32.2) / 2, 0)
  })

  it('strays from them about as far as measured days do, more in winter', () => {
    const strayC = (date: string): number => {
      const slot = slotOf(date)
      const values = climate.years.map((year) => year.meanC[slot]!)
      return Math.sqrt(mean(values.map((value) => (value - mean(values)) ** 2)))
    }
    const over = (month: string): number =>
      mean([...Array(28).keys()].map((i) => strayC(`2026-${month}-${String(i + 1).padStart(2, '0')}`)))
    // Manhattan, Kansas: 6.5 °C in January, 3.7 °C in July
    expect(over('01')).toBeGreaterThan(4.5)
    expect(over('01')).toBeLessThan(7.5)
    expect(over('07')).toBeGreaterThan(3)
    expect(over('07')).toBeLessThan(5.5)
  })

  it('is the same every time, and says what it rests on', () => {
    expect(climateFromNormals(KANSAS, null, 'county extension')).toEqual(climate)
    expect(climate.words).toContain('county extension')
    expect(climate.basis).toBe('normals')
  })

  it('takes soil normals where they are known', () => {
    const known = climateFromNormals(
      SEATTLE,
      Array.from({ length: 12 }, () => 12),
      null,
    )
    expect(known.soilBasis).toBe('measured')
    expect(known.usualSoilC[100]).toBeCloseTo(12, 9)
    expect(climate.soilBasis).toBe('from air')
  })

  it('refuses what are no normals', () => {
    expect(() => climateFromNormals({ minC: [1], maxC: [2] }, null, null)).toThrow(RangeError)
    expect(() => climateFromNormals({ ...KANSAS, minC: KANSAS.maxC, maxC: KANSAS.minC }, null, null)).toThrow(
      RangeError,
    )
  })
})

describe('a climate from measured days', () => {
  it('cuts whole years from the first day on', () => {
    const { climate } = climateFromDays(madeUpDays('2022-04-10', 800), 'garden days')
    expect(climate!.years).toHaveLength(2)
    expect(climate!.years[1]!.meanC[slotOf('2023-07-01')]).toBeCloseTo(18, 0)
    expect(climate!.words).toContain('2 years')
  })

  it('bridges short holes and leaves out years with long ones', () => {
    const without = (from: string, to: string): MeasuredDay[] =>
      madeUpDays('2022-01-01', 731, (day) => (day.date >= from && day.date <= to ? null : day))
    expect(climateFromDays(without('2022-06-01', '2022-06-05'), 'garden days').climate!.years).toHaveLength(2)
    expect(climateFromDays(without('2022-06-01', '2022-07-05'), 'garden days').climate!.years).toHaveLength(1)
  })

  it('says why there is none', () => {
    expect(climateFromDays([], 'garden days').reason).toBe('less than a year')
    expect(climateFromDays(madeUpDays('2022-01-01', 300), 'garden days').reason).toBe('less than a year')
    const holes = madeUpDays('2022-01-01', 366, (day) => (day.date.slice(5, 7) === '08' ? null : day))
    expect(climateFromDays(holes, 'garden days').reason).toBe('too many holes')
  })

  it('of a chosen year is that one year', () => {
    const { climate } = climateFromDays(madeUpDays('2019-01-01', 800), 'chosen year')
    expect(climate!.years).toHaveLength(1)
    expect(climate!.words).toMatch(/one year .* you chose, beginning 2019-01-01/)
  })

  it('believes measured soil before the air', () => {
    const { climate } = climateFromDays(
      madeUpDays('2022-01-01', 366, (day) => ({ ...day, soilMeanC: 14 })),
      'garden days',
    )
    expect(climate!.soilBasis).toBe('measured')
    expect(climate!.usualSoilC[200]).toBeCloseTo(14, 9)
  })
})

describe('day records for a plan', () => {
  const record = {
    date: '2026-05-01',
    airTempMinC: 5,
    airTempMaxC: 15,
    airTempMeanC: 9,
    airCoverage: 1,
    soilTempMeanC: 11,
    soilCoverage: 1,
  }

  it('are taken as measured', () => {
    expect(measuredDays([record])).toEqual([
      { date: '2026-05-01', minC: 5, maxC: 15, meanC: 9, soilMeanC: 11 },
    ])
  })

  it('count as unknown where too little of the day was measured', () => {
    const [thin] = measuredDays([{ ...record, airCoverage: 0.5, soilCoverage: 0.1 }])
    expect(thin).toEqual({ date: '2026-05-01', minC: null, maxC: null, meanC: null, soilMeanC: null })
  })
})
