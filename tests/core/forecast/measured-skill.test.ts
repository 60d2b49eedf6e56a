/** The forecast on measured weather, everything learned only from the past of each day. */
import { beforeAll, describe, expect, it } from 'vitest'
import { interval80 } from '../../../hub/core/forecast/normal-odds.js'
import { errorScores, intervalCoverage } from '../../../hub/core/forecast/scores.js'
import { POSSIBLE_SPELL_CHANCE } from '../../../hub/core/forecast/warm-spell-odds.js'
import { hasReferenceData, skipNote } from '../../support/reference-data.js'
import { scoreFirstWeeks } from './support/first-weeks.js'
import { frostBrier, hindcast, type LeadScores, scoreHindcast } from './support/hindcast.js'
import { scoreHourlyCourse, scoreRunningDay } from './support/hourly-hindcast.js'
import { correctAll, ECMWF_COLUMNS, ECMWF_FILES, ecmwfPoints } from './support/public-forecasts.js'
import { type DailyRecord, dailyOfTimed, longRecords, timedRecord } from './support/records.js'
import { compareSpellWarnings } from './support/spell-hindcast.js'

/** The second year is the first in which past years say anything. */
const FROM_INDEX = 365

describe.skipIf(!hasReferenceData).each([0, 1])(
  `the local forecast on long daily record %i${skipNote}`,
  (which) => {
    let record: DailyRecord
    let scores: LeadScores[]
    let outlooks: ReturnType<typeof hindcast>
    beforeAll(async () => {
      record = (await longRecords())[which]!
      outlooks = hindcast(record)
      scores = scoreHindcast(record, outlooks, 27, FROM_INDEX)
    })

    it('errs less than “as today” and than past years at every lead, for maximum and minimum', () => {
      for (const { max, min } of scores) {
        for (const of of [max, min]) {
          expect(of.forecast.maeC).toBeLessThan(of.persistence.maeC)
          expect(of.forecast.maeC).toBeLessThan(of.pastYears.maeC)
          expect(of.forecast.maeC).toBeLessThan(of.usual.maeC)
        }
      }
    })

    it('gives better chances of a maximum above 27 °C than both at every lead', () => {
      for (const lead of scores) {
        expect(lead.skillAgainstPersistence).toBeGreaterThan(0.2)
        expect(lead.skillAgainstPastYears).toBeGreaterThan(0)
      }
    })

    it('gives better chances of frost than both at every lead', () => {
      for (const lead of [1, 2, 3]) {
        const { forecast, persistence, pastYears } = frostBrier(record, outlooks, lead, FROM_INDEX)
        expect(forecast).toBeLessThan(persistence)
        expect(forecast).toBeLessThan(pastYears)
      }
    })

    it('holds the truth in 75 to 85 % of its 80 % intervals', () => {
      for (const { maxCoverage, minCoverage } of scores) {
        for (const coverage of [maxCoverage, minCoverage]) {
          expect(coverage).toBeGreaterThan(0.75)
          expect(coverage).toBeLessThan(0.85)
        }
      }
    })

    it('is of use and honest in a garden’s first weeks, whenever they begin', () => {
      const { maeC, persistenceMaeC, usualMaeC, coverage } = scoreFirstWeeks(record, 5, 30)
      expect(maeC).toBeLessThan(persistenceMaeC)
      expect(maeC).toBeLessThan(usualMaeC)
      expect(coverage).toBeGreaterThan(0.75)
      expect(coverage).toBeLessThan(0.9)
    })

    it('is not off to one side', () => {
      for (const { max, min } of scores) {
        expect(Math.abs(max.forecast.biasC)).toBeLessThan(0.5)
        expect(Math.abs(min.forecast.biasC)).toBeLessThan(0.5)
      }
    })

    it('warns of warm spells as surely as “when it was hot”, earlier and with fewer false alarms', () => {
      const { byChance, whenHot, brier } = compareSpellWarnings(record, outlooks, 27, FROM_INDEX, [
        POSSIBLE_SPELL_CHANCE,
      ])
      const { scores: ours } = byChance[0]!
      expect(ours.hitRate).toBeGreaterThanOrEqual(whenHot.hitRate! - 0.01)
      expect(ours.falseAlarmRatio).toBeLessThan(whenHot.falseAlarmRatio!)
      expect(ours.meanLeadDays).toBeGreaterThan(whenHot.meanLeadDays!)
      expect(brier.forecast).toBeLessThan(0.75 * brier.whenHot)
    })
  },
)

describe.skipIf(!hasReferenceData).each(['tharandt', 'winters'] as const)(
  `the hours to come on the record of %s${skipNote}`,
  (name) => {
    it('are closer than “as at this hour of the last day”, within honest bands', async () => {
      for (const { maeC, sameHourMaeC, coverage } of scoreHourlyCourse(
        name,
        await dailyOfTimed(name),
        await timedRecord(name),
      )) {
        expect(maeC).toBeLessThan(sameHourMaeC)
        // the first year of a garden: the bands are still being learned
        expect(coverage).toBeGreaterThan(0.72)
        expect(coverage).toBeLessThan(0.88)
      }
    })

    it('are better known the further the day has gone', async () => {
      const hours = scoreRunningDay(name, await dailyOfTimed(name), await timedRecord(name), [0, 12, 15])
      const todayMax = hours.map((hour) => hour.todayMaxMaeC)
      expect(todayMax).toEqual(todayMax.toSorted((a, b) => b - a))
      expect(todayMax.at(-1)).toBeLessThan(0.6)
      expect(hours.at(-1)!.tomorrowMaxMaeC).toBeLessThan(hours[0]!.tomorrowMaxMaeC)
    })
  },
)

describe.skipIf(!hasReferenceData)(`the correction on measured public forecasts${skipNote}`, () => {
  const leads = Object.keys(ECMWF_FILES) as (keyof typeof ECMWF_FILES)[]
  const kinds = Object.keys(ECMWF_COLUMNS) as (keyof typeof ECMWF_COLUMNS)[]

  it.each(leads.flatMap((lead) => kinds.map((kind) => [lead, kind] as const)))(
    'errs less than the raw forecast %s ahead (%s), with intervals that hold',
    async (lead, kind) => {
      const points = correctAll(await ecmwfPoints(lead, kind)).filter((point) =>
        Number.isFinite(point.truthC),
      )
      // a point is itself a pair: `forecastC` is the raw forecast
      const raw = errorScores(points)!
      const ours = errorScores(
        points.map(({ corrected, truthC }) => ({ forecastC: corrected.odds.meanC, truthC })),
      )!
      const coverage = intervalCoverage(
        points.map(({ corrected, truthC }) => ({ ...interval80(corrected.odds), truthC })),
      )
      expect(points.length).toBeGreaterThan(4000)
      expect(ours.maeC).toBeLessThan(raw.maeC)
      expect(Math.abs(ours.biasC)).toBeLessThan(0.05)
      expect(coverage).toBeGreaterThan(0.77)
      expect(coverage).toBeLessThan(0.83)
    },
  )
})
