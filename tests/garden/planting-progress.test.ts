import { describe, expect, it } from 'vitest'
import { findGardenCrop } from '../../hub/core/crops/garden-crops.js'
import { stageMarks } from '../../hub/core/crops/stages.js'
import { plantingProgress, progressDates } from '../../hub/garden/planting-progress.js'
import { plantingSeason } from '../../hub/garden/planting-season.js'
import type { Planting } from '../../shared/api/garden.js'
import { addDays } from '../../shared/local-time.js'
import { daysEnding } from '../warnings/rule-context.js'

const TODAY = '2027-06-15'
const known = findGardenCrop('cabbage-early', [])!
const { crop } = known

const planting = (dates: Partial<Planting> = {}): Planting => ({
  id: 'p1',
  bed: 'south',
  crop: 'cabbage-early',
  variety: null,
  sownOn: null,
  plantedOutOn: '2027-05-17',
  plants: 9,
  spacingM: 0.4,
  finishedOn: null,
  ...dates,
})

/** Thirty days up to today, each with these degree days; null: nothing was measured. */
function daysOf(degreeDaysC: (i: number) => number | null, n = 30) {
  return daysEnding(
    TODAY,
    Array.from({ length: n }, () => 20),
  ).map((day, i) => {
    const value = degreeDaysC(i)
    return { ...day, degreeDaysC: value, airCoverage: value === null ? 0 : 1 }
  })
}
const look = (p: Planting, days: ReturnType<typeof daysOf>, elapsed = 1) =>
  plantingProgress(
    plantingSeason({
      planting: p,
      known,
      records: days,
      observations: [],
      today: { date: TODAY, elapsed },
      dayLengthHours: () => 16,
    }),
  )

describe('the dates that a planting’s progress rests on', () => {
  it('run from planting out, or else from sowing, to today', () => {
    expect(progressDates(planting({ sownOn: '2027-04-01' }), TODAY)).toEqual({
      from: '2027-05-17',
      to: TODAY,
    })
    expect(progressDates(planting({ sownOn: '2027-04-01', plantedOutOn: null }), TODAY)?.from).toBe(
      '2027-04-01',
    )
  })

  it('end when it was finished', () => {
    expect(progressDates(planting({ finishedOn: '2027-06-01' }), TODAY)?.to).toBe('2027-06-01')
    expect(progressDates(planting({ finishedOn: '2027-09-01' }), TODAY)?.to).toBe(TODAY)
  })

  it('are none before it begins, or without dates', () => {
    expect(progressDates(planting({ plantedOutOn: '2027-06-16' }), TODAY)).toBeNull()
    expect(progressDates(planting({ plantedOutOn: null }), TODAY)).toBeNull()
  })
})

describe('the progress of a planting', () => {
  it('is the sum of its days’ degree days, and the stage they mean', () => {
    const heading = stageMarks(crop, 'planted-out').find((m) => m.stage === 'heading')!
    const perDay = heading.degreeDaysC / 20
    const progress = look(
      planting(),
      daysOf(() => perDay),
    )
    expect(progress.degreeDaysC).toBeCloseTo(30 * perDay, 9)
    expect(progress).toMatchObject({
      stage: 'heading',
      stageName: 'head forming',
      bbch: '41-48',
      coverage: 1,
    })
    expect(progress.since).toBe('2027-05-17')
    const reached = Object.fromEntries(progress.stages.map((s) => [s.stage, s.reachedOn]))
    expect(reached).toMatchObject({ leafing: '2027-05-17', ready: null, finished: null })
    // floating sums may need one day more
    expect([addDays('2027-05-17', 19), addDays('2027-05-17', 20)]).toContain(reached.heading)
  })

  it('fills a single missing day from its neighbours, but does not call it measured', () => {
    const progress = look(
      planting(),
      daysOf((i) => (i === 10 ? null : 12)),
    )
    expect(progress.degreeDaysC).toBeCloseTo(360, 9)
    expect(progress.coverage).toBeCloseTo(29 / 30, 9)
  })

  it('does not fill longer holes: it says that it may be further along', () => {
    const progress = look(
      planting(),
      daysOf((i) => (i < 15 ? null : 12)),
    )
    expect(progress.degreeDaysC).toBeCloseTo(180, 9)
    expect(progress.coverage).toBeCloseTo(0.5, 9)
    expect(progress.basis).toContain('only 50 % of the time was measured')
  })

  it('counts of today only what has passed', () => {
    const days = daysOf((i) => (i === 29 ? 3 : 12))
    days[28] = { ...days[28]!, airCoverage: 0.5 }
    expect(look(planting(), days, 0.25).coverage).toBeCloseTo((28 + 0.5 + 0.25) / 29.25, 9)
  })

  it('is unknown without any reading, not zero', () => {
    const progress = look(
      planting(),
      daysOf(() => null),
    )
    expect(progress).toMatchObject({ degreeDaysC: null, coverage: 0, stage: 'leafing' })
  })

  it('of a planting to come has not begun', () => {
    const progress = look(planting({ plantedOutOn: '2027-07-01' }), [])
    expect(progress).toMatchObject({ degreeDaysC: null, basis: 'not begun yet' })
    expect(progress.stages.every((s) => s.reachedOn === null)).toBe(true)
  })

  it('of a finished planting is finished', () => {
    expect(
      look(
        planting({ finishedOn: '2027-06-10' }),
        daysOf(() => 12, 25),
      ),
    ).toMatchObject({
      stage: 'finished',
      basis: 'you finished it',
    })
  })

  it('says what is missing where dates or crop are', () => {
    expect(look(planting({ plantedOutOn: null }), []).basis).toContain('give the date')
    const unknown = plantingProgress(
      plantingSeason({
        planting: planting({ crop: 'moonflower' }),
        known: null,
        records: daysOf(() => 12),
        observations: [],
        today: { date: TODAY, elapsed: 1 },
        dayLengthHours: () => 16,
      }),
    )
    expect(unknown).toMatchObject({ stage: 'unknown', degreeDaysC: 360 })
    expect(unknown.basis).toContain('"moonflower" is not in the library')
  })
})
