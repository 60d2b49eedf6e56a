import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { slugOf } from '../../dashboard/src/garden/slug.js'
import { fromWallTime, toWallTime } from '../../dashboard/src/garden/wall-time.js'
import { isId } from '../../shared/ids.js'

describe('an id made from a name', () => {
  test('keeps what can be spelled in small letters', () => {
    expect(slugOf('Lower terrace, 2nd bed', [], 'bed')).toBe('lower-terrace-2nd-bed')
    expect(slugOf('Bærbed på høj kant', [], 'bed')).toBe('baerbed-pa-hoj-kant')
    expect(slugOf('Garçon’s bed', [], 'bed')).toBe('garcon-s-bed')
  })

  test('falls back where nothing can be spelled, and never repeats one', () => {
    expect(slugOf('畑', [], 'bed')).toBe('bed')
    expect(slugOf('East', ['east', 'east-2'], 'bed')).toBe('east-3')
  })

  test('is always an id', () => {
    fc.assert(fc.property(fc.string(), (name) => isId(slugOf(name, [], 'bed'))))
  })
})

describe('a wall time typed by the grower', () => {
  test('means the garden’s clock', () => {
    expect(fromWallTime('2027-05-06T14:10', 'Europe/Copenhagen')).toBe('2027-05-06T14:10:00+02:00')
    expect(fromWallTime('2027-01-06T14:10', 'Pacific/Auckland')).toBe('2027-01-06T14:10:00+13:00')
  })

  test('goes there and back', () => {
    const timeMs = Date.parse('2027-05-06T12:10:00Z')
    const text = toWallTime(timeMs, 'Asia/Kolkata')
    expect(text).toBe('2027-05-06T17:40')
    expect(Date.parse(fromWallTime(text, 'Asia/Kolkata') ?? '')).toBe(timeMs)
  })

  test('that comes twice is the first, that never comes moves on by the jump', () => {
    expect(fromWallTime('2027-10-31T02:30', 'Europe/Paris')).toBe('2027-10-31T02:30:00+02:00')
    expect(fromWallTime('2027-03-28T02:30', 'Europe/Paris')).toBe('2027-03-28T03:30:00+02:00')
  })

  test('is refused when it is none', () => {
    expect(fromWallTime('soon', 'UTC')).toBeNull()
    expect(fromWallTime('2027-13-45T00:00', 'UTC')).toBeNull()
  })
})
