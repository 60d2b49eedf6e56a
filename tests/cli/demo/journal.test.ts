import { describe, expect, it } from 'vitest'
import { type DemoCut, demoJournal } from '../../../hub/cli/demo/journal.js'
import { journalProblems } from '../../../hub/core/journal/journal-rules.js'
import { Planting, PlantingInput } from '../../../shared/api/garden.js'
import { JournalEntry, NewJournalEntry } from '../../../shared/api/journal.js'

const TODAY = '2027-06-20'
const CUTS: readonly DemoCut[] = [
  { on: '2027-06-13', plants: 5, weightKg: 2.1, diameterMm: 150 },
  { on: '2027-06-19', plants: 4, weightKg: 1.7, diameterMm: 150 },
]
const PLACES: readonly [bed: string, crop: string, headingOn: string | null, cuts: readonly DemoCut[]][] = [
  ['long-bed', 'cabbage-early', '2027-05-28', []],
  ['long-bed', 'broccoli', null, []],
  ['wall-bed', 'cabbage-early', '2027-06-01', []],
  ['yard-tubs', 'lettuce-head', '2027-06-12', []],
  ['wall-bed', 'lettuce-head', '2027-05-28', CUTS],
]

describe('the demo’s journal', () => {
  it.each(PLACES)('of %s, %s is one that the hub takes, entry by entry', (bed, crop, headingOn, cuts) => {
    const input = PlantingInput.parse({
      bed,
      crop,
      sownOn: '2027-03-20',
      plantedOutOn: '2027-04-28',
      plants: 10,
      spacingM: 0.4,
      finishedOn: cuts.at(-1)?.on ?? null,
    })
    const planting = Planting.parse({ id: 'p-1', ...input })
    const others: JournalEntry[] = []
    for (const one of demoJournal({ ...input, headingOn, cuts }, planting.id, TODAY)) {
      const { id = '', ...entry } = NewJournalEntry.parse(one)
      expect(others.map((other) => other.id)).not.toContain(id)
      expect(
        journalProblems(entry, { today: TODAY, planting, crop: { forms: 'head' }, hasBed: true, others }),
      ).toEqual([])
      others.push(JournalEntry.parse({ ...entry, id, photos: [], writtenAt: '2027-06-20T00:00:00Z' }))
    }
    const kinds = others.map(({ kind }) => kind)
    expect(kinds).toEqual(expect.arrayContaining(['sown', 'planted-out', 'fed', 'weeded']))
    expect(kinds.includes('heads-started')).toBe(headingOn !== null)
    expect(kinds.filter((kind) => kind === 'cut')).toHaveLength(cuts.length)
    // only what has been
    const early = demoJournal({ ...input, headingOn, cuts }, planting.id, '2027-04-28')
    expect(early.map(({ on }) => on).every((on) => on <= '2027-04-28')).toBe(true)
    expect(early.length).toBeGreaterThan(3)
  })
})
