import { describe, expect, test } from 'vitest'
import { doseSentence, dosesOf } from '../../dashboard/src/planting/dose-words.js'
import { envelopeFigures, readEnvelope } from '../../dashboard/src/planting/envelope-figures.js'
import { growthFigures, readGrowth } from '../../dashboard/src/planting/growth-figures.js'
import { leadSentence, oddsWords, seenWords, withDates } from '../../dashboard/src/planting/planting-words.js'
import type { BedForecast } from '../../shared/api/forecast.js'
import type { PlantingReport } from '../../shared/api/progress.js'

const STAGES = [
  { stage: 'leafing', stageName: 'growing leaves', bbch: '10-19', degreeDaysC: 0, reachedOn: '2027-05-01' },
  { stage: 'heading', stageName: 'head forming', bbch: '41-48', degreeDaysC: 20, reachedOn: null },
]

const REPORT: PlantingReport = {
  planting: 'p',
  cropName: 'Cabbage, early',
  degreeDaysC: 15,
  coverage: 1,
  since: '2027-05-01',
  stage: 'leafing',
  stageName: 'growing leaves',
  bbch: '10-19',
  basis: 'first guess from degree days',
  stages: STAGES,
  today: '2027-05-02',
  cropBy: 'library',
  filledC: 0,
  openDays: 0,
  notes: [],
  observations: [],
  days: {
    date: ['2027-05-01', '2027-05-02'],
    degreeDaysC: [8, 15],
    minC: [6, 7],
    meanC: [12, null],
    maxC: [28, 20],
    heatHours: [2.5, 0],
  },
  ahead: { date: ['2027-05-03'], lowC: [20], middleC: [22], highC: [25] },
  projection: {
    basis: 'normals',
    years: 0,
    words: '',
    stages: [
      {
        stage: 'heading',
        stageName: 'head forming',
        bbch: '41-48',
        degreeDaysC: 20,
        expectedOn: '2027-05-03',
        earliestOn: '2027-05-02',
        latestOn: '2027-05-04',
      },
    ],
    harvest: null,
  },
  comfort: { bestFromC: 15, bestToC: 18, minMeanC: 4, maxMeanC: 24 },
  doses: {
    heat: {
      amount: 2.5,
      unit: 'h',
      watchAt: 2,
      likelyAt: 45,
      level: 'watch',
      unknownDays: 1,
      limitSource: 'grower',
      words: '',
      aboveC: 27,
      harm: 'loose heads',
    },
    chill: null,
    warmDays: null,
  },
  emergence: null,
}

const day = (date: string, leadDays: number, minC: number, maxC: number) => ({
  date,
  leadDays,
  airTempMinC: { lowC: minC - 2, middleC: minC, highC: minC + 2 },
  airTempMaxC: { lowC: maxC - 3, middleC: maxC, highC: maxC + 3 },
  chanceOfFrost: 0,
  chanceAbove27C: 0.42,
})

const FORECAST: BedForecast = {
  bed: 'b',
  source: 'bed',
  words: '',
  publicSource: null,
  attribution: null,
  issuedAt: '2027-05-02T10:00:00+02:00',
  restsOn: 30,
  isFresh: true,
  days: [day('2027-05-02', 0, 7, 21), day('2027-05-03', 1, 8, 24)],
  course: { time: [], lowC: [], middleC: [], highC: [] },
}

describe('the degree-day curve', () => {
  test('goes on from the measured sum, without a break and within its band', () => {
    const { dates, lines, bands, stretches } = growthFigures(REPORT, 'C')
    expect(dates).toEqual(['2027-05-01', '2027-05-02', '2027-05-03'])
    expect(lines.map((line) => line.values)).toEqual([
      [8, 15, null],
      [null, 15, 22],
      [null, 15, 25],
      [null, 15, 20],
    ])
    expect(bands).toHaveLength(1)
    expect(stretches).toEqual([
      {
        value: 20,
        fromS: Date.parse('2027-05-02T12:00:00Z') / 1000,
        toS: Date.parse('2027-05-04T12:00:00Z') / 1000,
        ink: 'line-other',
      },
    ])
  })

  test('marks the stages that degree days bring, with their dates', () => {
    expect(growthFigures(REPORT, 'C').rules.map((rule) => rule.words)).toEqual(['head forming, about 3 May'])
  })

  test('turns degree days as differences, not as temperatures', () => {
    expect(growthFigures(REPORT, 'F').lines[0]?.values).toEqual([14.4, 27, null])
  })

  test('has no band where nothing is known to make one of', () => {
    const ahead = { ...REPORT.ahead, lowC: [null], highC: [null] }
    expect(growthFigures({ ...REPORT, ahead }, 'C').bands).toEqual([])
  })

  test('is read day by day, past and to come', () => {
    expect(readGrowth(REPORT, '2027-05-01', 'C')).toBe('Sat 1 May: 8.0\u00a0°C·d.')
    expect(readGrowth(REPORT, '2027-05-03', 'C')).toBe(
      'Mon 3 May: about 22.0\u00a0°C·d (eight times in ten 20.0\u00a0°C·d to 25.0\u00a0°C·d).',
    )
  })
})

describe('the envelope of temperatures', () => {
  test('hands over to the forecast at today, joined to the last whole day', () => {
    const { dates, lines } = envelopeFigures(REPORT, FORECAST, 'C', 70)
    expect(dates).toEqual(['2027-05-01', '2027-05-02', '2027-05-03'])
    expect(lines[0]?.values).toEqual([28, null, null])
    expect(lines[3]?.values).toEqual([28, 21, 24])
    expect(lines[5]?.values).toEqual([28, 24, 27])
    expect(lines[8]?.values).toEqual([6, 5, 6])
  })

  test('shows the day so far where nothing is forecast', () => {
    const { dates, lines, today } = envelopeFigures(REPORT, null, 'C', 70)
    expect(dates).toEqual(['2027-05-01', '2027-05-02'])
    expect(lines[0]?.values).toEqual([28, 20])
    expect(today).toBeNull()
  })

  test('washes the days above the crop’s limit, and no others', () => {
    const washes = envelopeFigures(REPORT, FORECAST, 'C', 70).washes.filter((wash) => wash.kind === 'days')
    expect(washes).toHaveLength(1)
  })

  test('shows the last days only, when asked', () => {
    expect(envelopeFigures(REPORT, FORECAST, 'C', 1).dates).toEqual(['2027-05-02', '2027-05-03'])
  })

  test('is read day by day, with odds for what is to come', () => {
    expect(readEnvelope(REPORT, FORECAST, '2027-05-01', 'C')).toBe(
      'Sat 1 May: 6.0 to 28.0\u00a0°C, mean 12.0\u00a0°C; 2.5\u00a0h of heat.',
    )
    expect(readEnvelope(REPORT, FORECAST, '2027-05-03', 'C')).toMatch(
      /^Mon 3 May, forecast: lowest about 8\.0.*highest about 24\.0.*; 4 in 10 above 27\.0\u00a0°C\.$/,
    )
  })
})

describe('a planting in words', () => {
  test('says its stage, the next one with its interval, and nothing of a harvest that is not known', () => {
    expect(leadSentence(REPORT)).toEqual({
      lead: 'Growing leaves since Sat 1 May.',
      rest: ' Next: head forming, about Mon 3 May (eight times in ten between Sun 2 May and Tue 4 May).',
    })
  })

  test('says what it has taken, whose limit that is, and that there may have been more', () => {
    const [heat] = dosesOf(REPORT, 'F')
    expect(heat && doseSentence(heat)).toBe(
      'above 80.6\u00a0°F while what is eaten forms: worth a look. Look closely from 2\u00a0h on; from 45\u00a0h on expect loose heads (a limit of your own). 1 day is not known: it may be more.',
    )
  })

  test('never says that a forecast is certain', () => {
    expect([0, 0.04, 0.06, 0.5, 0.93, 0.97, 1].map(oddsWords)).toEqual([
      'less than 1 in 20',
      'less than 1 in 20',
      '1 in 10',
      '5 in 10',
      '9 in 10',
      'more than 19 in 20',
      'more than 19 in 20',
    ])
  })

  test('names what was seen after what the crop forms', () => {
    expect(['head', 'curd', 'sprouts', 'leaves'].map((forms) => seenWords('heads-started', forms))).toEqual([
      'heads form',
      'curds form',
      'sprouts form',
      'leaves fill out',
    ])
  })

  test('writes the hub’s dates as people do', () => {
    expect(withDates('set right by what you saw on 2027-05-02')).toBe(
      'set right by what you saw on 2 May 2027',
    )
  })
})
