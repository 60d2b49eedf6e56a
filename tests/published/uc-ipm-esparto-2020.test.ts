/**
 * Output of the University of California Statewide IPM Program's degree-day program for Esparto, California, 2020:
 * every day, four curves by three cut-offs, °F, thresholds 50 and 70. Source and licence in the fixture's head.
 * Printed to two decimals: tolerance half the last digit, and 0.001 for values that lie on the edge of rounding.
 */
import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { parse } from 'csv-parse/sync'
import { describe, expect, test } from 'vitest'
import { type Cutoff, type DailyMethod, dailyDegreeDays } from '../../hub/core/heat/degree-days.js'

const TOLERANCE = 0.006
const METHODS: Record<string, DailyMethod> = {
  sngsine: 'sine',
  dblsine: 'double-sine',
  sngtri: 'triangle',
  dbltri: 'double-triangle',
}
const CUTOFFS: Record<string, Cutoff> = { horiz: 'horizontal', vert: 'vertical', intrmd: 'intermediate' }

const days: Record<string, string>[] = parse(
  readFileSync(resolve(import.meta.dirname, 'fixtures/uc-ipm-esparto-2020.csv'), 'utf8'),
  { columns: true, comment: '#', skipEmptyLines: true },
)

const cell = (row: Record<string, string>, column: string): number => {
  const text = row[column]
  if (text === undefined || text === '') throw new Error(`${row.date}: no value in column ${column}`)
  return Number(text)
}

describe('the fixture', () => {
  test('holds every day of the leap year', () => {
    expect(days).toHaveLength(366)
    expect(new Set(days.map((row) => row.date)).size).toBe(366)
  })
})

for (const [curve, method] of Object.entries(METHODS)) {
  for (const [cut, cutoff] of Object.entries(CUTOFFS)) {
    test(`${method} with a ${cutoff} cut-off gives the program's value on every day`, () => {
      const isDouble = method.startsWith('double')
      let compared = 0
      const wrong: string[] = []
      for (const row of days) {
        // the last day of the file has no next day
        if (isDouble && (row.next_tmin_F === undefined || row.next_tmin_F === '')) continue
        const computed = dailyDegreeDays(
          method,
          cell(row, 'tmin_F'),
          cell(row, 'tmax_F'),
          isDouble ? cell(row, 'next_tmin_F') : null,
          { baseC: 50, upperC: 70, cutoff },
        )
        const printed = cell(row, `${curve}_${cut}`)
        if (!(Math.abs(computed - printed) <= TOLERANCE))
          wrong.push(`${row.date}: ${computed} not ${printed}`)
        compared++
      }
      expect(wrong).toEqual([])
      expect(compared).toBe(isDouble ? 365 : 366)
    })
  }
}
