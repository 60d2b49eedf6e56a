import { describe, expect, test } from 'vitest'
import { withReadings, withWarning } from '../../dashboard/src/state/live-merge.js'
import type { Today } from '../../shared/api/measurements.js'
import type { Warning } from '../../shared/api/warnings.js'

const shown = {
  now: '2027-05-06T14:00:00Z',
  date: '2027-05-06',
  sunrise: null,
  sunset: null,
  daylightHours: 15,
  beds: [
    {
      bed: 'east',
      latest: [
        { quantity: 'air-temp', unit: '°C', node: 'n1', time: '2027-05-06T13:59:00Z', value: 15, flags: [] },
      ],
    },
    { bed: 'west', latest: [] },
  ],
  // the rest of a row is of no concern here
} as unknown as Today

const at = (iso: string): number => Date.parse(iso) / 1000

describe('a live event', () => {
  test('puts the newest value into its bed’s row and no other', () => {
    const next = withReadings(
      shown,
      {
        type: 'readings',
        node: 'n1',
        bed: 'east',
        values: [
          { quantity: 'air-temp', time: at('2027-05-06T14:00:00Z'), value: 16, flags: 0 },
          { quantity: 'soil-temp', time: at('2027-05-06T14:00:00Z'), value: 12, flags: 2 },
        ],
      },
      'UTC',
    )
    expect(next.beds[0]?.latest.map((l) => [l.quantity, l.value, l.unit, l.flags])).toEqual([
      ['air-temp', 16, '°C', []],
      ['soil-temp', 12, '°C', ['sentinel']],
    ])
    expect(next.beds[1]).toBe(shown.beds[1])
  })

  test('of a backlog leaves the newer value standing', () => {
    const next = withReadings(
      shown,
      {
        type: 'readings',
        node: 'n1',
        bed: 'east',
        values: [{ quantity: 'air-temp', time: at('2027-05-06T11:00:00Z'), value: 9, flags: 0 }],
      },
      'UTC',
    )
    expect(next.beds[0]?.latest[0]?.value).toBe(15)
  })

  test('raises, changes and clears a warning', () => {
    const warning = { id: 'w', clearedAt: null, headline: 'one' } as Warning
    const raised = withWarning([], warning)
    expect(withWarning(raised, { ...warning, headline: 'two' }).map((w) => w.headline)).toEqual(['two'])
    expect(withWarning(raised, { ...warning, clearedAt: '2027-05-06T14:00:00Z' })).toEqual([])
  })
})
