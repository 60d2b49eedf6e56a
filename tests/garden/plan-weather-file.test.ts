/** A year of weather from a file: days or hours, and plain words for what cannot be used. */
import { describe, expect, it } from 'vitest'
import { yearFromFile } from '../../hub/garden/plan-weather-file.js'
import { addDays } from '../../shared/local-time.js'

const ZONE = 'Europe/Copenhagen'
const yearFrom = (first: string, days: number, row: (date: string, i: number) => string): string[] =>
  Array.from({ length: days }, (_, i) => row(addDays(first, i), i))
const daily = (first: string, days: number): string =>
  [
    '# a comment',
    'date,tmin_c,tmax_c',
    ...yearFrom(first, days, (date, i) => `${date},${i % 7},${10 + (i % 7)}`),
  ].join('\n')
const said = async (text: string): Promise<string> => {
  const [outcome] = await Promise.allSettled([yearFromFile(text, ZONE)])
  return outcome.status === 'rejected' && outcome.reason instanceof Error ? outcome.reason.message : 'taken'
}

describe('a file of days', () => {
  it('is taken as it is', async () => {
    const days = await yearFromFile(daily('2025-01-01', 365), ZONE)
    expect(days).toHaveLength(365)
    expect(days[8]).toEqual({ date: '2025-01-09', minC: 1, maxC: 11, meanC: null, soilMeanC: null })
  })

  it('gives its newest whole year', async () => {
    const days = await yearFromFile(daily('2023-05-01', 800), ZONE)
    expect(days[0]?.date).toBe(addDays('2023-05-01', 800 - 365))
    expect(days.at(-1)?.date).toBe(addDays('2023-05-01', 799))
  })

  it('gives an older year where the newest has a long hole', async () => {
    const lines = daily('2023-01-01', 740).split('\n')
    lines.splice(-100, 20)
    const days = await yearFromFile(lines.join('\n'), ZONE)
    expect(days.at(-1)?.date).toBe(addDays('2023-01-01', 739 - 365))
  })

  it('may miss days, has them in any order, and other names of columns', async () => {
    const lines = daily('2025-01-01', 365)
      .replace('date,tmin_c,tmax_c', 'date,air_temp_min_c,air_temp_max_c')
      .split('\n')
    const [comment = '', head = '', ...rows] = lines
    rows.splice(50, 3)
    const days = await yearFromFile([comment, head, ...rows.reverse()].join('\r\n'), ZONE)
    expect(days).toHaveLength(365)
    expect(days[51]).toMatchObject({ date: '2025-02-21', minC: null, maxC: null })
  })

  it.each([
    ['nothing at all', '', /no lines|first line/],
    ['another table', 'name,price\nkale,2', /first line must name the columns .* it has name, price/],
    ['a half year', daily('2025-01-01', 180), /180 days .* needs a whole year/],
    [
      'a word for a number',
      daily('2025-01-01', 365).replace('2025-03-01,', '2025-03-01,mild'),
      /line 62: mild/,
    ],
    ['upside-down days', 'date,tmin_c,tmax_c\n2025-01-01,9,3', /line 2: the lowest of 2025-01-01 lies above/],
    [
      'a day twice',
      'date,tmin_c,tmax_c\n2025-01-01,1,3\n2025-01-01,1,3',
      /line 3: 2025-01-01 is there twice/,
    ],
    ['no date', 'date,tmin_c,tmax_c\n30/1/2025,1,3', /line 2: 30\/1\/2025 is no date/],
    ['Fahrenheit', 'date,tmin_c,tmax_c\n2025-07-01,71,95', /line 2: 71 is no temperature in °C/],
    ['cut-off quotes', 'date,tmin_c,tmax_c\n"2025-07-01,7,9', /cannot be read as CSV/],
  ])('says what is wrong: %s', async (_, text, words) => {
    expect(await said(text)).toMatch(words)
  })

  it('says that every year has holes', async () => {
    const rows = daily('2025-01-01', 365).split('\n')
    rows.splice(100, 20)
    expect(await said(rows.join('\n'))).toMatch(/without a hole of more than ten days/)
  })
})

describe('a file of hours', () => {
  const hours = (first: string, count: number, everyH = 1): string =>
    [
      'time,air_temp_c,soil_temp_c',
      ...Array.from({ length: count / everyH }, (_, i) => {
        const atMs = Date.parse(first) + i * everyH * 3_600_000
        return `${new Date(atMs).toISOString()},${(10 + 5 * Math.sin((atMs / 86_400_000) * 2 * Math.PI)).toFixed(2)},8`
      }),
    ].join('\n')

  it('makes days of the garden’s own calendar, the long and the short one too', async () => {
    const days = await yearFromFile(hours('2024-12-31T23:00:00Z', 24 * 366), ZONE)
    expect(days[0]?.date).toBe('2025-01-02')
    for (const { minC, maxC, meanC, soilMeanC } of days) {
      expect(minC).toBeCloseTo(5, 0)
      expect(maxC).toBeCloseTo(15, 0)
      expect(meanC).toBeCloseTo(10, 0)
      expect(soilMeanC).toBe(8)
    }
  })

  it('takes every three hours, and leaves out days of which a part is missing', async () => {
    const rows = hours('2024-12-31T23:00:00Z', 24 * 366, 3).split('\n')
    rows.splice(1 + 8 * 100, 1)
    const days = await yearFromFile(rows.join('\n'), ZONE)
    const unknown = days.filter(({ meanC }) => meanC === null)
    expect(unknown.map(({ date }) => date)).toEqual(['2025-04-11'])
    expect(unknown[0]?.minC).toBeNull()
  })

  it('minds a time that is none', async () => {
    expect(await said('time,air_temp_c\nyesterday,3')).toMatch(/line 2: yesterday is no time/)
  })
})
