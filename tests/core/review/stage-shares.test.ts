/** A planting's season cut into its stages. */
import { describe, expect, it } from 'vitest'
import { formingDays, stageShares } from '../../../hub/core/review/stage-shares.js'
import { addDays } from '../../../shared/local-time.js'

/** Ten degree days a day; sun hours as the day's number, the third day hardly measured. */
const DAYS = Array.from({ length: 12 }, (_, i) => ({
  date: addDays('2027-05-01', i),
  sunHours: i,
  sunCoverage: i === 2 ? 0.3 : 1,
  airTempMeanC: 14,
  airCoverage: 1,
  heatHours: i >= 6 ? 2 : 0,
  chillHours: null,
}))
const SUMS = DAYS.map((_, i) => 10 * (i + 1))
const MARKS = [
  { stage: 'leafing', name: 'leaves', bbch: '10', degreeDaysC: 0 },
  { stage: 'heading', name: 'heads form', bbch: '41', degreeDaysC: 55 },
  { stage: 'ready', name: 'ready', bbch: '49', degreeDaysC: 300 },
] as const

describe('stages of a planting', () => {
  it('begin on the day that reaches their mark, and end where the next begins', () => {
    const shares = stageShares(DAYS, SUMS, MARKS)
    expect(shares.map(({ stage, from, to, days }) => [stage, from, to, days])).toEqual([
      ['leafing', '2027-05-01', '2027-05-05', 5],
      ['heading', '2027-05-06', '2027-05-12', 7],
    ])
  })

  it('share out all days and all degree days', () => {
    const shares = stageShares(DAYS, SUMS, MARKS)
    expect(shares.reduce((sum, { days }) => sum + days, 0)).toBe(DAYS.length)
    expect(shares.reduce((sum, { degreeDaysC }) => sum + (degreeDaysC ?? 0), 0)).toBe(SUMS.at(-1))
  })

  it('leave out of the sun a day that was hardly measured, and know no chill where none was measured', () => {
    const [leafing, heading] = stageShares(DAYS, SUMS, MARKS)
    expect(leafing).toMatchObject({ sunHours: (0 + 1 + 3 + 4) / 4, heatHours: 0, chillHours: null })
    expect(heading).toMatchObject({ sunHours: 8, heatHours: 12 })
  })

  it('the days in which heads formed end with the first cut', () => {
    const shares = stageShares(DAYS, SUMS, MARKS)
    const forming = (cut: string | null): string[] => formingDays(DAYS, shares, cut).map(({ date }) => date)
    expect(forming('2027-05-08')).toEqual(['2027-05-06', '2027-05-07', '2027-05-08'])
    expect(forming(null)).toHaveLength(7)
    // cut before it was thought to head: the journal does not make the days run backwards
    expect(forming('2027-05-02')).toHaveLength(7)
  })
})
