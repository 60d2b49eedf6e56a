import { describe, expect, it } from 'vitest'
import { findGardenCrop } from '../../hub/core/crops/garden-crops.js'
import { stageMarks } from '../../hub/core/crops/stages.js'
import { plantingReport } from '../../hub/garden/planting-report.js'
import { plantingSeason, type SeasonInput } from '../../hub/garden/planting-season.js'
import type { Planting } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'
import type { Observation, Seen } from '../../shared/api/progress.js'
import { addDays } from '../../shared/local-time.js'
import { daysEnding } from '../warnings/rule-context.js'

const TODAY = '2027-06-15'
const CABBAGE = findGardenCrop('cabbage-early', [])!

const planting = (parts: Partial<Planting> = {}): Planting => ({
  id: 'p1',
  bed: 'south',
  crop: 'cabbage-early',
  variety: null,
  sownOn: null,
  plantedOutOn: '2027-05-17',
  plants: 9,
  spacingM: 0.4,
  finishedOn: null,
  ...parts,
})

const saw = (seen: Seen, on: string): Observation => ({
  id: `${seen}-${on}`,
  planting: 'p1',
  seen,
  on,
  note: null,
})

/** Days up to today, twelve degree days each, unless the test says otherwise. */
const days = (n: number, change: (i: number) => Partial<DayRecord> = () => ({})): DayRecord[] =>
  daysEnding(
    TODAY,
    Array.from({ length: n }, () => 20),
  ).map((day, i) => ({ ...day, ...change(i) }))

const season = (parts: Partial<SeasonInput> = {}) =>
  plantingSeason({
    planting: planting(),
    known: CABBAGE,
    records: days(30),
    observations: [],
    today: { date: TODAY, elapsed: 1 },
    dayLengthHours: () => 17,
    ...parts,
  })

const markOf = (one: ReturnType<typeof season>, stage: string): number =>
  one.marks.find((mark) => mark.stage === stage)!.degreeDaysC

describe('what the grower saw', () => {
  it('moves its stage to the day it was seen, and the rest with it', () => {
    const guess = season()
    expect(guess.stage?.stage).toBe('leafing')
    const seen = season({ observations: [saw('heads-started', TODAY)] })
    expect(seen.stage).toMatchObject({ stage: 'heading', name: 'head forming' })
    expect(markOf(seen, 'heading')).toBeCloseTo(360, 9)
    expect(markOf(seen, 'ready') / markOf(guess, 'ready')).toBeCloseTo(360 / markOf(guess, 'heading'), 2)
  })

  it('makes heat count from when heads were seen to start', () => {
    const hot = days(30, (i) => (i >= 25 ? { heatHours: 5 } : {}))
    expect(season({ records: hot }).doses.heat?.amount).toBe(0)
    const seen = season({ records: hot, observations: [saw('heads-started', addDays(TODAY, -3))] })
    expect(seen.doses.heat?.amount).toBeCloseTo(20, 9)
  })

  it('of bolting ends it, and leaves the other stages where they were', () => {
    const bolted = season({ observations: [saw('bolted', TODAY)] })
    expect(bolted.stage).toMatchObject({ stage: 'finished', name: 'bolted' })
    expect(bolted.marks).toEqual(stageMarks(CABBAGE.crop, 'planted-out'))
    expect(plantingReport(bolted, [], null)).toMatchObject({
      basis: `you saw it bolt on ${TODAY}`,
      projection: { stages: [], words: 'Its season is over.' },
    })
  })
})

describe('emergence', () => {
  const sown = planting({ sownOn: addDays(TODAY, -9), plantedOutOn: null })

  it('goes by the soil where it is measured, whatever the air says', () => {
    const cold = season({ planting: sown, records: days(10, () => ({ soilTempMeanC: 6, degreeDaysC: 25 })) })
    expect(cold.stage?.stage).toBe('sown')
    const warm = season({ planting: sown, records: days(10, () => ({ soilTempMeanC: 25, degreeDaysC: 3 })) })
    expect(warm.emergence?.emergedOn).not.toBeNull()
    expect(warm.stage?.stage).not.toBe('sown')
    // the soil says when seedlings are up, not how long the crop takes
    expect(markOf(warm, 'ready')).toBe(markOf(cold, 'ready'))
  })

  it('goes by the air where the soil is not measured', () => {
    const dry = season({
      planting: sown,
      records: days(10, () => ({ soilTempMeanC: null, degreeDaysC: 25 })),
    })
    expect(dry.emergence).toBeNull()
    expect(dry.stage?.stage).not.toBe('sown')
    expect(plantingReport(dry, [], null).emergence?.words).toContain('not measured on enough days')
  })

  it('says what the soil is like and when to expect seedlings', () => {
    const cool = season({ planting: sown, records: days(3, () => ({ soilTempMeanC: 15 })) })
    const { emergence } = plantingReport(cool, [], null)
    expect(emergence).toMatchObject({ soil: 'fit', emergedOn: null })
    expect(emergence!.expectedOn! > TODAY).toBe(true)
  })
})

describe('seedlings seen', () => {
  const sown = planting({ sownOn: addDays(TODAY, -19), plantedOutOn: null })
  const dry = days(20, () => ({ soilTempMeanC: null }))

  it('move the first stages, and say nothing of how quick the crop is', () => {
    const guess = season({ planting: sown, records: dry })
    const up = season({ planting: sown, records: dry, observations: [saw('emerged', addDays(TODAY, -15))] })
    expect(markOf(up, 'emerged')).toBeCloseTo(60, 9)
    expect(markOf(up, 'leafing') - 60).toBeCloseTo(markOf(guess, 'leafing') - markOf(guess, 'emerged'), 9)
    expect(markOf(up, 'ready')).toBe(markOf(guess, 'ready'))
    const leaves = season({ planting: sown, records: dry, observations: [saw('first-leaves', TODAY)] })
    expect(leaves.stage?.stage).toBe('leafing')
    expect(markOf(leaves, 'leafing')).toBeCloseTo(240, 9)
  })

  it('go before what the soil says', () => {
    const cold = days(20, () => ({ soilTempMeanC: 6 }))
    const up = season({ planting: sown, records: cold, observations: [saw('emerged', TODAY)] })
    expect(up.stage?.stage).toBe('emerged')
  })
})

describe('a report', () => {
  const normals = {
    minC: [0, 0, 1, 4, 8, 11, 13, 13, 10, 7, 3, 1],
    maxC: [3, 3, 7, 12, 17, 20, 22, 22, 18, 12, 7, 4],
    source: null,
  }

  it('projects at the pace of the last weeks, without an interval, where nothing else is known', () => {
    const { projection, ahead } = plantingReport(season(), [], null)
    expect(projection).toMatchObject({ basis: 'recent pace', years: 0 })
    const heading = projection.stages.find(({ stage }) => stage === 'heading')!
    expect(heading).toMatchObject({ earliestOn: null, latestOn: null })
    const missing = heading.degreeDaysC - 360
    expect(heading.expectedOn).toBe(addDays(TODAY, Math.ceil(missing / 12)))
    expect(ahead.date[0]).toBe('2027-06-16')
    expect(ahead.middleC[0]).toBeCloseTo(372, 9)
    expect(ahead.lowC[0]).toBeNull()
  })

  it('gives an interval from normals, wider the farther off a stage is', () => {
    const { projection, ahead } = plantingReport(season(), [], normals)
    expect(projection.basis).toBe('normals')
    const widths = projection.stages.map(
      ({ earliestOn, latestOn }) => (Date.parse(latestOn!) - Date.parse(earliestOn!)) / 86_400_000,
    )
    expect(widths.length).toBeGreaterThanOrEqual(3)
    expect(widths).toEqual([...widths].sort((a, b) => a - b))
    expect(widths[0]).toBeGreaterThanOrEqual(2)
    for (const [i, low] of ahead.lowC.entries()) {
      expect(low!).toBeLessThanOrEqual(ahead.middleC[i]!)
      expect(ahead.highC[i]!).toBeGreaterThanOrEqual(ahead.middleC[i]!)
    }
    const ready = projection.stages.find(({ stage }) => stage === 'ready')!
    expect(projection.harvest?.from).toBe(ready.expectedOn)
  })

  it('prefers three measured years to normals', () => {
    const past = Array.from({ length: 4 * 365 }, (_, i) => ({
      date: addDays('2023-06-01', i),
      degreeDaysC: 8 + Math.floor(i / 365),
      airCoverage: 1,
    }))
    const { projection } = plantingReport(season(), past, normals)
    expect(projection).toMatchObject({ basis: 'past years' })
    expect(projection.years).toBeGreaterThanOrEqual(3)
    expect(projection.stages[0]!.earliestOn).not.toBeNull()
  })

  it('says that past years are still being added up', () => {
    expect(plantingReport(season(), null, null).projection.words).toContain('look again in a minute')
  })

  it('tells doses against the crop’s limits in words', () => {
    const { doses } = plantingReport(
      season({
        records: days(30, (i) => (i === 29 ? { heatHours: 16 } : {})),
        observations: [saw('heads-started', addDays(TODAY, -2))],
      }),
      [],
      null,
    )
    expect(doses.heat).toMatchObject({ amount: 16, unit: 'h', level: 'watch', aboveC: 27 })
    expect(doses.heat?.words).toBe(
      '16.0 h above 27.0 °C while what is eaten forms; worth a look from 15, harm likely from 45 (a first guess).',
    )
    expect(doses.chill?.feelsColdFrom).not.toBeNull()
    expect(doses.warmDays).toBeNull()
  })

  it('says when there have been no readings for a week', () => {
    const silent = days(30, (i) => (i >= 22 ? { degreeDaysC: null, airCoverage: 0, airTempMaxC: null } : {}))
    const report = plantingReport(season({ records: silent }), [], null)
    expect(report.notes.join(' ')).toContain('No readings for 8 days, the last on 2027-06-07')
    expect(report.notes.join(' ')).toContain('On 8 days too little was measured')
    expect(report.degreeDaysC).toBeCloseTo(22 * 12, 9)
  })

  it('without dates asks for one', () => {
    const report = plantingReport(
      season({ planting: planting({ plantedOutOn: null }), records: [] }),
      [],
      null,
    )
    expect(report.notes).toContain(
      'Without the date it was sown or planted out nothing can be counted: give it.',
    )
    expect(report).toMatchObject({ stage: 'unknown', degreeDaysC: null })
  })

  it('says whose figures it goes by', () => {
    const own = findGardenCrop('cabbage-early', [
      {
        id: 'cabbage-early',
        basedOn: 'cabbage-early',
        name: null,
        adjustments: { degreeDaysToHeading: 300 },
      },
    ])!
    const report = plantingReport(season({ known: own }), [], null)
    expect(report).toMatchObject({ cropBy: 'grower', stage: 'heading' })
    expect(report.notes.join(' ')).toContain('by your own figures')
  })
})
