import { describe, expect, test } from 'vitest'
import { sunSentence } from '../../dashboard/src/sun/sun-sentence.js'
import type { BedSun } from '../../shared/api/measurements.js'

const plain = (text: string): string => text.replaceAll('\u00a0', ' ')

/** A day from 5:00 to 21:00 UTC with sun from 6:00 on, as far as `sunHours` reach. */
function day(part: Partial<BedSun>): BedSun {
  const sunHours = part.sunHours ?? null
  const end = new Date(Date.UTC(2027, 4, 6, 6) + (sunHours ?? 0) * 3_600_000).toISOString()
  return {
    date: '2027-05-06',
    from: '2027-05-06T00:00:00Z',
    to: '2027-05-07T00:00:00Z',
    sunrise: '2027-05-06T05:00:00Z',
    sunset: '2027-05-06T21:00:00Z',
    sunHours,
    possibleSunHours: 12,
    stillPossibleHours: 0,
    sunCoverage: 1,
    segments: sunHours === null ? [] : [{ from: '2027-05-06T06:00:00Z', to: end, state: 'sun' }],
    ...part,
  }
}

function said(sun: BedSun, clock: string): string {
  const { lead, rest } = sunSentence(sun, Date.parse(`2027-05-06T${clock}:00Z`), 'UTC', '24')
  return plain(lead + rest)
}

describe('the sun of a day in a sentence', () => {
  test('says what is still in reach', () => {
    expect(said(day({ sunHours: 2, stillPossibleHours: 6.5 }), '10:00')).toBe(
      '2 h of sun so far; eight hours still in reach.',
    )
    expect(said(day({ sunHours: 2, stillPossibleHours: 4 }), '10:00')).toBe(
      '2 h of sun so far; six hours still in reach.',
    )
  })

  test('says the most there can be when six hours are out of reach', () => {
    expect(said(day({ sunHours: 1, stillPossibleHours: 2.5 }), '13:00')).toBe(
      '1 h of sun so far; six are out of reach, 3 h 30 min at most.',
    )
  })

  test('says when six hours were reached, and whether eight may be', () => {
    expect(said(day({ sunHours: 6.5, stillPossibleHours: 1.5 }), '13:00')).toBe(
      '6 h 30 min of sun so far; six hours reached at 12:00, eight still in reach.',
    )
    expect(said(day({ sunHours: 6.5, stillPossibleHours: 1 }), '13:00')).toBe(
      '6 h 30 min of sun so far; six hours reached at 12:00.',
    )
  })

  test('closes the day once the sun is down, or can come no more', () => {
    expect(said(day({ sunHours: 5 }), '22:00')).toBe('5 h of sun today; six hours were not reached.')
    expect(said(day({ sunHours: 1 }), '18:00')).toBe('1 h of sun today; no more is to come today.')
  })

  test('begins with the sunrise', () => {
    expect(said(day({ sunHours: null, stillPossibleHours: 12 }), '04:00')).toBe(
      'Sunrise at 5:00; up to 12 h of sun under a clear sky.',
    )
  })

  test('never takes missing readings for missing sun', () => {
    expect(said(day({ sunHours: null, stillPossibleHours: 8 }), '10:00')).toBe(
      'No light readings today; a clear sky would give 12 h of sun.',
    )
    expect(said(day({ sunHours: 2, stillPossibleHours: 6.5, sunCoverage: 0.62 }), '10:00')).toContain(
      'Readings cover only 62 % of the daylight.',
    )
  })

  test('knows days on which the sun does not rise', () => {
    const polar = day({ sunHours: 0, possibleSunHours: 0, sunrise: null, sunset: null })
    expect(said(polar, '12:00')).toBe('No sun above the horizon today.')
  })
})
