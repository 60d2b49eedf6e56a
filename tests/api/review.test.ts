/** Looking back over the API: days, stages, harvest, heads compared, the carpet of temperatures. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ReviewAnswer, SeasonReview } from '../../shared/api/review.js'
import type { TemperatureCarpet } from '../../shared/api/sun.js'
import { type ApiFixture, LONG_BED, openApi, readingsOf } from './api-fixture.js'

let api: ApiFixture
const ids: string[] = []
/** kg a head, and how far apart they stood */
const GROWN = [
  { weightKg: 1.2, spacingM: 0.5 },
  { weightKg: 0.9, spacingM: 0.45 },
  { weightKg: 0.4, spacingM: 0.3 },
]

beforeAll(async () => {
  api = await openApi()
  await api.setUpHome()
  await api.ask('PUT', 'gardens/home/beds/bare', { ...LONG_BED, name: 'Bare bed' })
  // hours of 70 days, up to the fixture's now: 18 °C, 6 degrees up and down
  await api.store(
    readingsOf(
      'air-temp',
      '2027-04-06T00:00:00Z',
      70 * 24 * 4,
      900,
      (i) => 18 + 6 * Math.sin((i / 96) * 2 * Math.PI),
    ),
  )
  await api.store(
    readingsOf('light', '2027-04-06T00:00:00Z', 70 * 24 * 4, 900, (i) =>
      Math.max(0, 60_000 * Math.sin(((i / 96) * 24 - 5) * (Math.PI / 14))),
    ),
  )
  for (const { weightKg, spacingM } of GROWN) {
    const planted = await api.ask('POST', 'gardens/home/plantings', {
      bed: 'long',
      crop: 'cabbage-early',
      sownOn: '2027-03-01',
      plantedOutOn: '2027-04-08',
      plants: 2,
      spacingM,
      isTightOnPurpose: true,
    })
    expect(planted.status, JSON.stringify(planted.body)).toBe(201)
    ids.push(planted.body.id)
    const cut = await api.ask('POST', 'gardens/home/journal', {
      kind: 'cut',
      on: '2027-06-12',
      planting: planted.body.id,
      plants: 2,
      weightKg: 2 * weightKg,
    })
    expect(cut.status, JSON.stringify(cut.body)).toBeLessThan(300)
  }
})
afterAll(() => api.close())

/** Asks until it is all added up, as the page does. */
async function review(query: string): Promise<SeasonReview> {
  for (;;) {
    const { status, body } = await api.ask('GET', `gardens/home/review?${query}`)
    expect(status, JSON.stringify(body)).toBe(200)
    const answer: ReviewAnswer = body
    if (answer.review !== null) return answer.review
    expect(answer.done).toBeLessThanOrEqual(answer.of)
  }
}

describe('looking back', () => {
  it('gives each bed’s days, and none of a bed without a node', async () => {
    const { beds, from, to, since } = await review('from=2027-04-01&to=2027-06-10')
    expect({ from, to, since }).toEqual({ from: '2027-04-01', to: '2027-06-10', since: '2027-01-01' })
    const [bare, long] = ['bare', 'long'].map((id) => beds.find(({ bed }) => bed === id)!)
    expect(bare!.days.date).toEqual([])
    expect(long!.days.date).toHaveLength(71)
    expect(long!.days.meanC[0]).toBeNull()
    expect(long!.days.meanC[30]).toBeCloseTo(18, 0)
    const asked = await api.ask('GET', 'gardens/home/beds/long/days?from=2027-04-01&to=2027-06-10')
    expect(long!.days.degreeDaysC[40]).toBeCloseTo(asked.body[40].degreeDaysC, 1)
    expect(long!.days.sunHours[40]).toBeCloseTo(asked.body[40].sunHours, 1)
  })

  it('gives a planting its days, stages, doses, journal and harvest', async () => {
    const { plantings } = await review('from=2027-01-01&to=2027-06-15')
    expect(plantings.map(({ planting }) => planting).sort()).toEqual([...ids].sort())
    const one = plantings.find(({ planting }) => planting === ids[0])!
    expect(one).toMatchObject({
      bedName: LONG_BED.name,
      cropName: expect.stringMatching(/cabbage/i),
      harvest: { heads: 2, weightKg: 2.4, weightPerHeadKg: 1.2, cuts: 1 },
    })
    expect(one.days.date[0]).toBe('2027-04-08')
    expect(one.days.degreeDaysC).toHaveLength(one.days.date.length)
    expect(one.journal.map(({ kind }) => kind)).toContain('cut')
    const { stages } = one
    expect(stages.reduce((sum, { days }) => sum + days, 0)).toBe(one.days.date.length)
    const report = await api.ask('GET', `gardens/home/plantings/${ids[0]}/progress`)
    expect(one.doses).toEqual(report.body.doses)
    expect(one.days.degreeDaysC.at(-1)).toBeCloseTo(report.body.degreeDaysC, 0)
  })

  it('puts weighed heads side by side, with what they differed in', async () => {
    const { comparisons } = await review('from=2027-01-01&to=2027-06-15')
    expect(comparisons).toHaveLength(1)
    expect(comparisons[0]).toMatchObject({ plantings: ids, weightPerHeadKg: [1.2, 0.9, 0.4] })
    const spacing = comparisons[0]!.factors.find(({ factor }) => factor === 'spacing')
    expect(spacing).toMatchObject({ pairsMore: 3, pairsLess: 0, goesAlong: true })
    expect(comparisons[0]!.words.join(' ')).toContain('1 time in 3')
  })

  it('gives one planting alone', async () => {
    const one = await review(`from=2027-01-01&to=2027-06-15&planting=${ids[1]}`)
    expect(one.plantings.map(({ planting }) => planting)).toEqual([ids[1]])
    expect(one).toMatchObject({ beds: [], comparisons: [] })
  })

  it('leaves out what did not stand then, and stops at today', async () => {
    const before = await review('from=2026-01-01&to=2026-12-31')
    expect(before.plantings).toEqual([])
    expect((await review('from=2027-06-01&to=2027-12-31')).to).toBe('2027-06-15')
  })

  it('says at the field what is wrong with the dates', async () => {
    for (const [query, field] of [
      ['from=2027-02-30', 'from'],
      ['from=2027-06-02&to=2027-06-01', 'to'],
      ['from=2001-01-01&to=2027-01-01', 'from'],
    ]) {
      const { status, body } = await api.ask('GET', `gardens/home/review?${query}`)
      expect(status).toBe(400)
      expect(body.problems[0].field).toBe(field)
    }
    expect((await api.ask('GET', 'gardens/home/review?planting=nobody')).status).toBe(404)
    expect((await api.ask('GET', 'gardens/elsewhere/review')).status).toBe(404)
  })
})

describe('the carpet of temperatures', () => {
  const carpetOf = async (query: string): Promise<TemperatureCarpet> => {
    const { status, body } = await api.ask('GET', `gardens/home/beds/long/temperature-carpet?${query}`)
    expect(status, JSON.stringify(body)).toBe(200)
    return body
  }

  it('gives the mean of each hour, from local midnight on', async () => {
    const { days } = await carpetOf('from=2027-05-01&to=2027-05-02')
    expect(days.map(({ date, meanC, lengthMin }) => [date, meanC.length, lengthMin])).toEqual([
      ['2027-05-01', 24, 1440],
      ['2027-05-02', 24, 1440],
    ])
    // Copenhagen's midnight is 22:00 UTC: two hours before the sine's zero
    expect(days[0]!.meanC[2]).toBeCloseTo(18 + 6 * Math.sin((1.5 / 96) * 2 * Math.PI), 0)
  })

  it('has 23 hours on the day on which the clocks go forward, and none of what was not measured', async () => {
    const { days } = await carpetOf('from=2027-03-28&to=2027-03-28')
    expect(days[0]).toMatchObject({ lengthMin: 1380, meanC: new Array(23).fill(null) })
  })

  it('knows the soil’s too, and no other quantity', async () => {
    expect((await carpetOf('quantity=soil-temp')).quantity).toBe('soil-temp')
    const { status } = await api.ask('GET', 'gardens/home/beds/long/temperature-carpet?quantity=light')
    expect(status).toBe(400)
  })
})
