import { describe, expect, test } from 'vitest'
import { tickLabels, tickStep, timeTicks } from '../../dashboard/src/bed/time-axis.js'

const at = (iso: string): number => Date.parse(iso) / 1000

/** Ticks and labels of a range at so many ticks, as 'label' strings with the line break shown as |. */
function axis(from: string, to: string, maxTicks: number, zone: string, style: '24' | '12' = '24'): string[] {
  const ticks = timeTicks(at(from), at(to), maxTicks, zone)
  const step = tickStep(at(to) - at(from), maxTicks)
  return tickLabels(ticks, step, zone, style).map((label) => label.replace('\n', '|'))
}

describe('the time axis', () => {
  test('ticks a day at round hours of the garden and names the day at its first tick', () => {
    expect(axis('2027-05-06T00:00:00+02:00', '2027-05-07T00:00:00+02:00', 5, 'Europe/Copenhagen')).toEqual([
      '00:00|Thu 6 May',
      '06:00',
      '12:00',
      '18:00',
      '00:00|Fri 7 May',
    ])
  })

  test('keeps to round hours over the hour that is missing in spring', () => {
    const ticks = timeTicks(
      at('2027-03-28T00:00:00+01:00'),
      at('2027-03-28T09:00:00+02:00'),
      3,
      'Europe/Paris',
    )
    expect(ticks.map((t) => new Date(t * 1000).toISOString().slice(11, 16))).toEqual([
      '23:00', // 00:00 winter time
      '01:00', // 03:00 summer time
      '04:00',
      '07:00',
    ])
  })

  test('shows the hour that comes twice in autumn twice', () => {
    expect(axis('2027-10-31T00:00:00+02:00', '2027-10-31T05:00:00+01:00', 6, 'Europe/Paris')).toEqual([
      '00:00|Sun 31 Oct',
      '01:00',
      '02:00',
      '02:00',
      '03:00',
      '04:00',
      '05:00',
    ])
  })

  test('ticks half-hour zones at their own round hours', () => {
    expect(axis('2027-05-06T05:30:00+05:30', '2027-05-06T08:10:00+05:30', 3, 'Asia/Kolkata')).toEqual([
      '06:00|Thu 6 May',
      '07:00',
      '08:00',
    ])
  })

  test('writes a 12-hour clock where it is wanted', () => {
    expect(
      axis('2027-05-06T06:00:00-04:00', '2027-05-06T18:00:00-04:00', 3, 'America/New_York', '12'),
    ).toEqual(['6\u00a0am|Thu 6 May', '12\u00a0pm', '6\u00a0pm'])
  })

  test('starts each day at local midnight when ticks are whole days, though one of them has 25 hours', () => {
    const ticks = timeTicks(
      at('2027-10-30T00:00:00+02:00'),
      at('2027-11-02T00:00:00+01:00'),
      4,
      'Europe/Paris',
    )
    expect(ticks.map((t, i) => (i === 0 ? 0 : (t - (ticks[i - 1] ?? 0)) / 3600))).toEqual([0, 24, 25, 24])
  })

  test('puts weekly ticks on Mondays', () => {
    const ticks = timeTicks(at('2027-02-01T00:00:00Z'), at('2027-04-01T00:00:00Z'), 9, 'UTC')
    expect(ticks.length).toBeGreaterThan(6)
    expect(new Set(ticks.map((t) => new Date(t * 1000).getUTCDay()))).toEqual(new Set([1]))
  })

  test('names months over a year and says the year where it changes', () => {
    expect(axis('2026-11-15T00:00:00Z', '2027-03-15T00:00:00Z', 5, 'UTC')).toEqual([
      'Dec|2026',
      'Jan|2027',
      'Feb',
      'Mar',
    ])
  })

  test('ticks years over decades', () => {
    expect(axis('2020-06-01T00:00:00Z', '2027-06-01T00:00:00Z', 8, 'UTC')).toEqual([
      '2021',
      '2022',
      '2023',
      '2024',
      '2025',
      '2026',
      '2027',
    ])
  })

  test('never gives more ticks than about what there is room for', () => {
    for (const days of [0.05, 0.3, 1, 2, 5, 9, 20, 50, 100, 400, 1500, 5000]) {
      const from = at('2021-01-03T07:13:00Z')
      const ticks = timeTicks(from, from + days * 86_400, 6, 'Europe/Berlin')
      expect(ticks.length, `${days} days`).toBeGreaterThan(0)
      expect(ticks.length, `${days} days`).toBeLessThanOrEqual(8)
    }
  })
})
