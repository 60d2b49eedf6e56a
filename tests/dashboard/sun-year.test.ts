import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  type CarpetInks,
  carpetPixels,
  minuteLine,
  rgbOf,
  skylineCut,
  stateAt,
} from '../../dashboard/src/sun-year/carpet-pixels.js'
import { acrossPanorama } from '../../dashboard/src/sun-year/compass.js'
import {
  byMonth,
  labelMeaning,
  labelWords,
  markSentence,
  stretchWords,
} from '../../dashboard/src/sun-year/outlook-words.js'
import {
  knownAlong,
  silhouettes,
  sunWay,
  topOf,
  xOf,
  yOf,
} from '../../dashboard/src/sun-year/sky-geometry.js'
import type { SunState } from '../../shared/api/measurements.js'
import type { BedSkyline, CarpetDay, SunOutlook, SunPath } from '../../shared/api/sun.js'
import { compassPoint } from '../../shared/compass.js'

const STATES: SunState[] = ['sun', 'cloud', 'shade', 'night', 'unknown']

/** Night to 6:00, sun to 18:00, night to the end. */
const day = (part: Partial<CarpetDay> = {}): CarpetDay => ({
  date: '2027-05-06',
  lengthMin: 1440,
  sunriseMin: 360,
  sunsetMin: 1080,
  startMin: [0, 360, 1080],
  state: [3, 0, 3],
  endMin: 1440,
  behindSkylineMin: [],
  sunHours: 12,
  possibleSunHours: 12,
  sunCoverage: 1,
  ...part,
})

const grey = (n: number): readonly [number, number, number] => [n, n, n]
const inks: CarpetInks = {
  paper: grey(255),
  ground: { sun: grey(200), cloud: grey(150), shade: grey(100), night: grey(10), unknown: grey(240) },
  texture: { sun: grey(200), cloud: grey(140), shade: grey(80), night: grey(10), unknown: grey(60) },
}

const column = (
  pixels: Uint8ClampedArray,
  width: number,
  height: number,
  x: number,
): (number | undefined)[] => Array.from({ length: height }, (_, y) => pixels[(y * width + x) * 4])

describe('the carpet', () => {
  test('has midnight at its foot, noon in its middle and the day’s end at its head', () => {
    const pixels = carpetPixels([day()], STATES, 2, 24, 1, inks)
    expect(column(pixels, 2, 24, 0)).toEqual([
      ...Array(6).fill(10),
      ...Array(12).fill(200),
      ...Array(6).fill(10),
    ])
  })

  test('leaves the hours to come open', () => {
    const pixels = carpetPixels([day({ endMin: 720 })], STATES, 1, 24, 1, inks)
    expect(column(pixels, 1, 24, 0).slice(0, 12)).toEqual(Array(12).fill(255))
    expect(column(pixels, 1, 24, 0)[12]).toBe(200)
  })

  test('gives each day its columns, and on a narrow screen each column a day', () => {
    const days = [day(), day({ startMin: [0], state: [2] })]
    const wide = carpetPixels(days, STATES, 6, 24, 1, inks)
    expect(column(wide, 6, 24, 2)[12]).toBe(200)
    expect([100, 80]).toContain(column(wide, 6, 24, 3)[12])
    const many = Array.from({ length: 9 }, () => day())
    expect(column(carpetPixels(many, STATES, 3, 24, 1, inks), 3, 24, 2)[12]).toBe(200)
  })

  test('tells shade, cloud and the unknown by texture as well as by colour', () => {
    for (const [index, state] of [
      [2, 'shade'],
      [1, 'cloud'],
      [4, 'unknown'],
    ] as const) {
      const pixels = carpetPixels([day({ startMin: [0], state: [index] })], STATES, 24, 24, 1, inks)
      const shown = new Set(Array.from({ length: 24 * 24 }, (_, i) => pixels[i * 4]))
      expect(shown, state).toEqual(new Set([inks.ground[state][0], inks.texture[state][0]]))
    }
  })

  test('fills every pixel', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 0, max: 20 }),
        (width, height, count) => {
          const pixels = carpetPixels(Array(count).fill(day()), STATES, width, height, 2, inks)
          for (let i = 3; i < pixels.length; i += 4) expect(pixels[i]).toBe(255)
        },
      ),
    )
  })

  test('finds the state of a minute', () => {
    expect(stateAt(day(), STATES, 0)).toBe('night')
    expect(stateAt(day(), STATES, 359.9)).toBe('night')
    expect(stateAt(day(), STATES, 360)).toBe('sun')
    expect(stateAt(day({ endMin: 720 }), STATES, 720)).toBeNull()
    expect(stateAt(day({ startMin: [], state: [] }), STATES, 100)).toBeNull()
  })

  test('draws sunrise as a stepped line that breaks where the sun does not rise', () => {
    const days = [day(), day({ sunriseMin: null }), day({ sunriseMin: 720 })]
    expect(minuteLine(days, (d) => d.sunriseMin, 30, 24)).toBe('M0.0 18.0H10.0M20.0 12.0H30.0')
  })

  test('draws the skyline’s cut, but not sunrise and sunset again', () => {
    const days = [day({ behindSkylineMin: [[360, 720]] })]
    expect(skylineCut(days, 10, 24)).toBe('M0.0 12.0H10.0')
  })

  test('takes colours as the style sheet writes them', () => {
    expect(rgbOf('#d99a1c')).toEqual([217, 154, 28])
    expect(rgbOf('#fff')).toEqual([255, 255, 255])
    expect(rgbOf('#a3c')).toEqual([170, 51, 204])
  })
})

describe('the compass', () => {
  test('names directions, the long way round too', () => {
    expect(compassPoint(247.5)).toBe('west-south-west')
    expect(compassPoint(359)).toBe('north')
    expect(compassPoint(-90)).toBe('west')
  })

  test('has the noon sun in the middle of the picture on either half of the Earth', () => {
    expect(acrossPanorama(180, 55)).toBe(0.5)
    expect(acrossPanorama(90, 55)).toBe(0.25)
    expect(acrossPanorama(0, -41)).toBe(0.5)
    expect(acrossPanorama(90, -41)).toBe(0.75)
  })
})

const skyline: BedSkyline = {
  bed: 'east',
  date: '2027-05-06',
  learnedFrom: null,
  azimuthDeg: [45, 135, 225, 315],
  elevationDeg: [30, 10, 0, 20],
  lowDeg: [25, 10, 0, 0],
  highDeg: [35, 10, 0, 60],
  uncertaintyDeg: [3, 0, 0, 20],
  known: [true, true, true, false],
  skyView: 0.8,
  drawn: null,
  gain: null,
}
const frame = { width: 360, height: 100, latitudeDeg: 55, topDeg: 50 }

describe('the picture of the sky', () => {
  test('stands what is known apart from what is guessed', () => {
    const { known, guessed } = silhouettes(skyline, frame)
    expect(known).toContain('M0.0 100V40.0H90.5V100Z')
    expect(guessed).toBe('M270.0 100V60.0H360.5V100Z')
  })

  test('keeps what is higher than the picture at its edge', () => {
    expect(yOf(80, frame)).toBe(0)
    expect(yOf(-5, frame)).toBe(100)
    expect(xOf(180, frame)).toBe(180)
  })

  test('is high enough for the midsummer sun', () => {
    expect(topOf(55.7, null)).toBeGreaterThan(90 - 55.7 + 23.4)
    expect(topOf(0, null)).toBe(90)
  })

  test('draws the hidden part of the sun’s way apart', () => {
    const path: SunPath = {
      date: '2027-05-06',
      sunrise: '1970-01-01T00:00:00Z',
      sunset: '1970-01-01T01:00:00Z',
      solarNoon: '1970-01-01T00:30:00Z',
      time: [0, 600, 1200, 1800],
      azimuthDeg: [90, 100, 110, 120],
      elevationDeg: [-5, 10, 20, 25],
      possibleSunHours: 0.2,
      lost: [
        { from: '1970-01-01T00:10:00Z', to: '1970-01-01T00:20:00Z', fromAzimuthDeg: 100, toAzimuthDeg: 110 },
      ],
    }
    const { shining, lost } = sunWay(path, frame)
    expect(lost).toBe('M100.0 80.0L110.0 60.0')
    expect(shining).toBe('M110.0 60.0L120.0 50.0')
    expect(knownAlong(skyline, path)).toBe(1)
    expect(knownAlong(skyline, { ...path, azimuthDeg: [260, 265, 275, 300] })).toBeCloseTo(1 / 3)
  })
})

describe('the outlook in words', () => {
  const outlook: SunOutlook = {
    bed: 'east',
    skyline: 'learned',
    days: ['2027-01-01', '2027-01-02', '2027-02-01'].map((date, i) => ({
      date,
      possibleSunHours: 4 + i * 2,
      possibleLow: 3,
      possibleHigh: 9,
      expectedSunHours: 2,
    })),
    labels: [
      { season: 'winter', label: 'part sun', possibleSunHours: 5, atWorst: 'part shade', atBest: 'part sun' },
    ],
    labelHours: { fullSun: 6, partSun: 4, partShade: 2, source: 'an almanac' },
    possibleSixHours: [{ from: '2027-03-12', to: '2027-09-30' }],
    possibleEightHours: [],
    expectedSixHours: [],
    expectedEightHours: [],
    fallsBelowSixOn: null,
    clearFraction: { fraction: Array(12).fill(null), basis: Array(12).fill(null), days: Array(12).fill(0) },
  }

  test('says which weeks reach six hours, under a clear sky and with the usual clouds', () => {
    expect(markSentence(outlook, 6)).toBe(
      'Six hours are possible from 12 Mar to 30 Sep, but with the usual clouds never to be expected.',
    )
    expect(markSentence(outlook, 8)).toBe('Eight hours are never possible here.')
  })

  /** January 2027, possible sun hours from low to high on each day */
  const january = (low: number, high: number): SunOutlook['days'] =>
    Array.from({ length: 31 }, (_, i) => ({
      date: `2027-01-${String(i + 1).padStart(2, '0')}`,
      possibleSunHours: 7,
      // the skyline is known in the first week
      possibleLow: i < 7 ? 7 : low,
      possibleHigh: i < 7 ? 7 : high,
      expectedSunHours: null,
    }))

  test('does not say never where the skyline is not known well enough', () => {
    expect(markSentence({ ...outlook, days: january(7, 9) }, 8)).toBe(
      'Eight hours are not to be had by the likeliest skyline; it is not known well enough to rule them out from 8 Jan to 31 Jan.',
    )
  })

  test('says when hours that are possible are in doubt', () => {
    const all = [{ from: '2027-01-01', to: '2027-01-31' }]
    expect(markSentence({ ...outlook, days: january(5, 9), possibleSixHours: all }, 6)).toBe(
      'Six hours are possible all year. The skyline is not known well enough to be sure from 8 Jan to 31 Jan.',
    )
    expect(markSentence({ ...outlook, days: january(6, 9), possibleSixHours: all }, 6)).toBe(
      'Six hours are possible all year.',
    )
  })

  test('says all year rather than from the first day to the last', () => {
    expect(stretchWords([{ from: '2027-01-01', to: '2027-12-31' }], '2027-01-01', '2027-12-31')).toBe(
      'all year',
    )
  })

  test('says what else a label may be while the skyline is not certain', () => {
    expect(labelWords(outlook).replaceAll('\u00a0', ' ')).toBe(
      'part sun in winter (5 h, between part shade and part sun)',
    )
  })

  test('says what the labels mean and who says so', () => {
    expect(labelMeaning(outlook)).toBe(
      'Full sun means 6 possible hours of sun a day and more, part sun 4 to 6, part shade 2 to 4, full shade less (an almanac).',
    )
  })

  test('means by month for the table', () => {
    expect(byMonth(outlook)).toEqual([
      { date: '2027-01-01', possible: 5, low: 3, high: 9, expected: 2 },
      { date: '2027-02-01', possible: 8, low: 3, high: 9, expected: 2 },
    ])
  })
})
