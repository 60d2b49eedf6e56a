import { describe, expect, it } from 'vitest'
import { findGardenCrop } from '../../hub/core/crops/garden-crops.js'
import { plantingLookedBack } from '../../hub/garden/planting-look-back.js'
import { plantingSeason } from '../../hub/garden/planting-season.js'
import { JournalEntry, JournalInput } from '../../shared/api/journal.js'
import { daysEnding } from '../warnings/rule-context.js'

const TODAY = '2027-06-15'

const entry = (parts: object): JournalEntry =>
  JournalEntry.parse({
    id: 'entry-0001',
    photos: [],
    writtenAt: '2027-06-15T00:00:00Z',
    ...JournalInput.parse({ planting: 'p1', on: '2027-06-10', ...parts }),
  })

interface Grown {
  readonly crop?: string
  readonly plantedOutOn?: string
  readonly latitudeDeg?: number
  readonly journal?: readonly JournalEntry[]
}

const CUT = entry({ kind: 'cut', plants: 2, weightKg: 2 })

function lookBack({ crop = 'cabbage-early', journal = [CUT], ...grown }: Grown = {}) {
  const { plantedOutOn = '2027-05-17', latitudeDeg = 52 } = grown
  const season = plantingSeason({
    planting: {
      id: 'p1',
      bed: 'south',
      crop,
      variety: null,
      sownOn: null,
      plantedOutOn,
      plants: 9,
      spacingM: 0.4,
      finishedOn: null,
    },
    known: findGardenCrop(crop, [])!,
    records: daysEnding(
      TODAY,
      Array.from({ length: 30 }, () => 20),
    ),
    observations: [],
    today: { date: TODAY, elapsed: 1 },
    dayLengthHours: () => 16,
  })
  const garden = { timeZone: 'Europe/London', latitudeDeg }
  return plantingLookedBack(season, { garden, bedName: 'South bed', journal, warnings: [] })
}

const factorsOf = (grown: Grown) => lookBack(grown).weighed!.factors

describe('a planting looked back upon', () => {
  it('was fed and watered when its whole bed was, while it stood there', () => {
    const bed = { planting: null, bed: 'south' }
    const journal = [
      entry({ kind: 'fed', ...bed, on: '2027-05-01' }),
      entry({ kind: 'fed', ...bed, on: '2027-05-20' }),
      entry({ kind: 'fed', on: '2027-06-02' }),
      entry({ kind: 'watered', ...bed, on: '2027-06-05' }),
      entry({ kind: 'watered', planting: null, bed: 'wall', on: '2027-06-05' }),
      CUT,
    ]
    expect(factorsOf({ journal })).toMatchObject({ feeding: 2, watering: 1 })
  })

  it('was begun later after New Year than before it where summer is', () => {
    const started = (plantedOutOn: string, latitudeDeg: number) =>
      factorsOf({ plantedOutOn, latitudeDeg }).start!
    expect(started('2027-01-05', -36) - started('2026-12-20', -36)).toBe(16)
    expect(started('2027-06-30', -36) - started('2026-07-01', -36)).toBe(364)
    expect(started('2027-05-17', 52)).toBe(137)
  })

  it('has no heads to compare where it is picked over, or nothing was weighed', () => {
    expect(lookBack().weighed).toMatchObject({ id: 'p1', weightPerHeadKg: 1, weighedHeads: 2 })
    expect(lookBack({ crop: 'kale' }).weighed).toBeNull()
    expect(lookBack({ journal: [] }).weighed).toBeNull()
  })
})
