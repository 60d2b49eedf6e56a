/**
 * The accuracy that the hub promises, on measured weather. The whole report: npm run accuracy.
 */
import { beforeAll, describe, expect, it } from 'vitest'
import { loadSunRecord, type Sensor, SUN_RECORDS, type SunRecord } from '../support/measured-sunshine.js'
import { hasReferenceData, skipNote } from '../support/reference-data.js'
import { type Score, scoreDays } from './daily-score.js'
import { leaveOneOut, ourSun, seen } from './our-method.js'
import { PUBLISHED_METHODS, publishedSun } from './published-methods.js'
import { type ShadedScore, SKYLINES, shadedScore } from './shaded-beds.js'

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length

describe.skipIf(!hasReferenceData)(`accuracy of sun hours${skipNote}`, () => {
  let months: SunRecord[] = []
  const scoresOf = (sensor: Sensor): Score[] =>
    months.map((record) => scoreDays(record, ourSun(record, seen(record, sensor))))

  beforeAll(async () => {
    const names = SUN_RECORDS.filter((name) => name.includes('lyngby'))
    months = await Promise.all(names.map(loadSunRecord))
  }, 120_000)

  it('is 0.24 h a day or better when each month is judged by a method tuned on the others', () => {
    const scores = leaveOneOut(
      months,
      months.map((record) => seen(record)),
      months,
    )
    expect(mean(scores.map((s) => s.error))).toBeLessThanOrEqual(0.24)
    for (const { bias } of scores) expect(Math.abs(bias)).toBeLessThanOrEqual(0.15)
  }, 120_000)

  it.each([
    ['a true sensor', {}, 0.24],
    ['a sensor that reads 30 % too low', { gain: 0.7 }, 0.24],
    ['a sensor that reads 30 % too high', { gain: 1.3 }, 0.24],
    ['12 bits over 120,000 lx', { stepLx: 120_000 / 4096 }, 0.24],
    ['a ceiling at 120,000 lx', { ceilingLx: 120_000 }, 0.24],
    ['a ceiling at 54,612 lx', { ceilingLx: 54_612 }, 0.5],
    ['a report every 5 min', { intervalMinutes: 5 }, 0.35],
    ['a report every 15 min', { intervalMinutes: 15 }, 0.5],
  ] as const)('with %s', (_, sensor, limit) => {
    const scores = scoresOf(sensor)
    expect(mean(scores.map((s) => s.error))).toBeLessThanOrEqual(limit)
    expect(Math.abs(mean(scores.map((s) => s.bias)))).toBeLessThanOrEqual(0.15)
  })

  it.each([1, 5, 15])(
    'is better than every published method, on every month, reported every %i min',
    (interval) => {
      const ours = scoresOf({ intervalMinutes: interval })
      for (const { id } of PUBLISHED_METHODS) {
        for (const [i, record] of months.entries()) {
          const theirs = scoreDays(record, publishedSun(id, record, record.globalWm2, interval))
          expect(ours[i]!.error).toBeLessThan(theirs.error)
        }
      }
    },
  )

  describe('in beds with something around them', () => {
    const scores: { readonly name: string; readonly month: string; readonly score: ShadedScore }[] = []

    beforeAll(() => {
      for (const { name, horizon } of SKYLINES) {
        for (const record of months)
          scores.push({ name, month: record.name, score: shadedScore(record, horizon) })
      }
    }, 120_000)

    it('tells sun from no sun in 95 % of daylight, cloud from shade in 85 %', () => {
      for (const { score } of scores) {
        expect(score.sunRight).toBeGreaterThanOrEqual(0.95)
        expect(score.shadeRight).toBeGreaterThanOrEqual(0.85)
      }
    })

    it('is within 0.35 h a day on average, and 0.45 in each bed and month', () => {
      expect(mean(scores.map(({ score }) => score.error))).toBeLessThanOrEqual(0.35)
      for (const { score } of scores) expect(score.error).toBeLessThanOrEqual(0.45)
    })

    it('knows the skyline within 4° where it says so, and in most beds where the sun crossed it', () => {
      const crossed: number[] = []
      for (const { score } of scores) {
        if (score.knownDeg !== null) expect(score.knownDeg).toBeLessThanOrEqual(4)
        if (score.crossedDeg !== null) crossed.push(score.crossedDeg)
      }
      crossed.sort((a, b) => a - b)
      expect(crossed[crossed.length >> 1]).toBeLessThanOrEqual(4)
    })

    it('has the true possible sun hours of three months later within half an hour, or in its band', () => {
      for (const { score } of scores) {
        const isRight = score.laterError <= 0.5 || score.laterInBand >= 0.9
        expect(isRight).toBe(true)
      }
      expect(mean(scores.map(({ score }) => score.laterInBand))).toBeGreaterThan(0.9)
    })
  })
})
