import { describe, expect, it } from 'vitest'
import {
  allGone,
  type JournalSurroundings,
  journalProblems,
} from '../../../hub/core/journal/journal-rules.js'
import type { Planting } from '../../../shared/api/garden.js'
import { JournalEntry, JournalInput } from '../../../shared/api/journal.js'

const TODAY = '2027-06-15'
const PLANTING: Planting = {
  id: 'p1',
  bed: 'long',
  crop: 'cabbage-early',
  variety: null,
  sownOn: '2027-03-01',
  plantedOutOn: '2027-04-10',
  plants: 8,
  spacingM: 0.4,
  finishedOn: null,
}

const HEADS = { forms: 'head' } as const

const entry = (parts: object): JournalInput =>
  JournalInput.parse({ kind: 'weeded', on: TODAY, planting: 'p1', ...parts })

const kept = (parts: object): JournalEntry =>
  JournalEntry.parse({ id: 'entry-01', photos: [], writtenAt: '2027-06-01T00:00:00Z', ...entry(parts) })

const problemsOf = (parts: object, around: Partial<JournalSurroundings>) =>
  journalProblems(entry(parts), {
    today: TODAY,
    planting: PLANTING,
    crop: HEADS,
    hasBed: true,
    others: [],
    ...around,
  })

function fields(parts: object, around: Partial<JournalSurroundings> = {}): string[] {
  const found = problemsOf(parts, around)
  for (const { message } of found) expect(message).toMatch(/^[a-z0-9].{15,}[^.]$/)
  return found.map(({ field }) => field)
}

const said = (parts: object, around: Partial<JournalSurroundings> = {}): string =>
  problemsOf(parts, around)
    .map(({ message }) => message)
    .join('; ')

describe('an entry is of something that is there', () => {
  it('names a planting, unless it can be of a bed or the garden', () => {
    const nowhere = { planting: null }
    expect(fields({ kind: 'cut', planting: null }, nowhere)).toEqual(['planting'])
    expect(fields({ kind: 'sown', planting: null }, nowhere)).toEqual(['planting'])
    expect(fields({ kind: 'watered', planting: null, bed: 'long' }, nowhere)).toEqual([])
    expect(fields({ kind: 'note', planting: null }, nowhere)).toEqual([])
  })

  it('and not one that has gone, nor another bed than the planting’s', () => {
    expect(fields({}, { planting: null })).toEqual(['planting'])
    expect(fields({ bed: 'long' })).toEqual([])
    expect(fields({ bed: 'wall' })).toEqual(['bed'])
    expect(fields({ planting: null, bed: 'gone' }, { planting: null, hasBed: false })).toEqual(['bed'])
  })
})

describe('the day of an entry', () => {
  it('is not still to come, not even tomorrow', () => {
    expect(fields({ on: '2027-06-15' })).toEqual([])
    expect(fields({ on: '2027-06-16' })).toEqual(['on'])
    expect(said({ on: '2027-06-16' })).toContain('is still to come')
    expect(fields({ on: '1999-12-31' })).toEqual(['on'])
  })

  it('is not before sowing, for what is of plants', () => {
    expect(said({ kind: 'cut', on: '2027-02-28' })).toContain('harvested before sowing')
    expect(fields({ kind: 'pricked-out', on: '2027-02-28' })).toEqual(['on'])
    // a bed is made ready before
    expect(fields({ kind: 'fed', on: '2027-02-20' })).toEqual([])
    // the grower says so: that becomes the date
    expect(fields({ kind: 'sown', on: '2027-02-20' })).toEqual([])
  })

  it('is not before planting out, for what is of grown plants', () => {
    expect(said({ kind: 'heads-started', on: '2027-04-09' })).toContain('before planting out')
    expect(fields({ kind: 'pests-seen', on: '2027-04-01' })).toEqual([])
    expect(fields({ kind: 'hardened-off', on: '2027-04-01' })).toEqual([])
    const bought = { planting: { ...PLANTING, sownOn: null } }
    expect(fields({ kind: 'first-leaves', on: '2027-03-15' }, bought)).toEqual([])
  })

  it('of a plan is told to begin with the sowing', () => {
    const plan = { planting: { ...PLANTING, sownOn: '2027-08-01', plantedOutOn: '2027-09-10' } }
    expect(said({ kind: 'emerged' }, plan)).toContain('Write down first that it is sown')
    expect(fields({ kind: 'sown' }, plan)).toEqual([])
    expect(fields({ kind: 'note' }, plan)).toEqual([])
  })

  it('of sowing is not after planting out', () => {
    expect(fields({ kind: 'sown', on: '2027-04-11' })).toEqual(['on'])
    expect(fields({ kind: 'sown', on: '2027-04-10' })).toEqual([])
  })

  it('is not after the planting was finished, but for a note', () => {
    const over = { planting: { ...PLANTING, finishedOn: '2027-06-10' } }
    expect(fields({ kind: 'cut', on: '2027-06-11' }, over)).toEqual(['on'])
    expect(fields({ kind: 'cut', on: '2027-06-10' }, over)).toEqual([])
    expect(fields({ kind: 'note', on: '2027-06-11' }, over)).toEqual([])
  })
})

describe('figures go with their kind', () => {
  it.each([
    [{ kind: 'firmness' }, ['firmness']],
    [{ kind: 'firmness', firmness: 'giving', diameterMm: 120 }, []],
    [{ kind: 'cut', firmness: 'firm' }, ['firmness']],
    [{ kind: 'stem-thickness' }, ['stemMm']],
    [{ kind: 'stem-thickness', stemMm: 6 }, []],
    [{ kind: 'weeded', stemMm: 6 }, ['stemMm']],
    [{ kind: 'cut', weightKg: 1.2, diameterMm: 160, plants: 1 }, []],
    [{ kind: 'lost', weightKg: 1.2 }, ['weightKg']],
    [{ kind: 'split', diameterMm: 170 }, []],
    [{ kind: 'watered', diameterMm: 170 }, ['diameterMm']],
  ])('%o', (parts, expected) => {
    expect(fields(parts)).toEqual(expected)
  })
})

describe('numbers of plants', () => {
  it('are no more than the planting has, but seedlings may be', () => {
    expect(fields({ kind: 'bolted', plants: 8 })).toEqual([])
    expect(fields({ kind: 'bolted', plants: 9 })).toEqual(['plants'])
    expect(fields({ kind: 'sown', on: '2027-03-01', plants: 40 })).toEqual([])
  })

  it('cut and lost are no more than there were, taken together', () => {
    const others = [
      kept({ kind: 'cut', plants: 3 }),
      kept({ kind: 'lost', plants: 2 }),
      // not said how many: not counted
      kept({ kind: 'cut' }),
      // still standing
      kept({ kind: 'split', plants: 4 }),
    ]
    expect(fields({ kind: 'cut', plants: 3 }, { others })).toEqual([])
    expect(said({ kind: 'cut', plants: 4 }, { others })).toBe('5 of 8 are cut or lost already: 3 are left')
    const all = [kept({ kind: 'cut', plants: 8 })]
    expect(said({ kind: 'lost', plants: 1 }, { others: all })).toBe(
      '8 of 8 are cut or lost already: none is left',
    )
    expect(fields({ kind: 'cut' }, { others: all })).toEqual([])
  })
})

describe('a planting is gone', () => {
  it('when as many are cut and lost as there were', () => {
    const some = [
      kept({ kind: 'lost', plants: 2, on: '2027-05-02' }),
      kept({ kind: 'cut', plants: 3, on: '2027-06-10' }),
      kept({ kind: 'cut', on: '2027-06-11' }),
    ]
    expect(allGone(8, HEADS, some)).toBeNull()
    const last = kept({ kind: 'cut', plants: 3, on: '2027-06-14' })
    const later = kept({ kind: 'note', on: '2027-06-15' })
    expect(allGone(8, HEADS, [...some, last, later])).toEqual({ on: '2027-06-14', wasCut: true })
    expect(allGone(2, HEADS, some.slice(0, 1))).toEqual({ on: '2027-05-02', wasCut: false })
    expect(allGone(1, HEADS, [])).toBeNull()
  })

  it('but not because plants that are picked over were all cut once: only what was lost is gone', () => {
    const picked = [
      kept({ kind: 'cut', plants: 8, on: '2027-06-01' }),
      kept({ kind: 'lost', plants: 2, on: '2027-06-03' }),
    ]
    for (const forms of ['leaves', 'pods', 'sprouts', 'stalks'] as const) {
      expect(allGone(8, { forms }, picked)).toBeNull()
      expect(said({ kind: 'cut', plants: 6 }, { crop: { forms }, others: picked })).toBe('')
      expect(said({ kind: 'lost', plants: 7 }, { crop: { forms }, others: picked })).toBe(
        '2 of 8 are lost already: 6 are left',
      )
    }
    expect(allGone(8, HEADS, picked)).toEqual({ on: '2027-06-01', wasCut: true })
  })
})

it('all that is wrong is said at once', () => {
  expect(fields({ kind: 'cut', on: '2027-06-16', bed: 'wall', firmness: 'soft', plants: 9 })).toEqual([
    'bed',
    'firmness',
    'on',
    'plants',
  ])
})
