import { describe, expect, it } from 'vitest'
import { draftOf, notYetSeen, withWritten } from '../../dashboard/src/planting/planting-journal.js'

describe('what can still be seen of a planting', () => {
  const entry = (
    kind: 'cut' | 'firmness' | 'fed' | 'heads-started',
    firmness: 'soft' | 'firm' | null = null,
  ) => ({ kind, firmness }) as const

  it('is what the journal does not say yet', () => {
    expect(notYetSeen([], false)).toEqual([
      'emerged',
      'first-leaves',
      'heads-started',
      'firm',
      'split',
      'bolted',
    ])
    expect(notYetSeen([entry('fed'), entry('heads-started')], true)).toEqual(['firm', 'split', 'bolted'])
  })

  it('counts a head cut as fit to cut, and a soft one not', () => {
    expect(notYetSeen([entry('firmness', 'soft')], true)).toContain('firm')
    expect(notYetSeen([entry('firmness', 'firm')], true)).not.toContain('firm')
    expect(notYetSeen([entry('cut')], true)).not.toContain('firm')
  })

  it('is written as the journal has it', () => {
    expect(draftOf('firm')).toEqual({ kind: 'firmness', firmness: 'firm' })
    expect(draftOf('bolted')).toEqual({ kind: 'bolted', firmness: null })
  })
})

it('what was just written stays in sight until the hub’s list has it', () => {
  const listed = [{ id: 'a', from: 'hub' }]
  expect(withWritten(listed, [{ id: 'b', from: 'page' }])).toEqual([{ id: 'b', from: 'page' }, ...listed])
  expect(withWritten(listed, [{ id: 'a', from: 'page' }])).toEqual(listed)
})
